/** Tells the other tabs which breaks were changed. */
export interface TabNews {
  tell(breakIds: readonly string[]): void;
  close(): void;
}

/**
 * Joins the channel on which the tabs of one bench speak.
 *
 * @param onChanged – breaks another tab changed; they are on the disk by then.
 */
export function joinTabNews(channelName: string, onChanged: (breakIds: readonly string[]) => void): TabNews {
  const channel = new BroadcastChannel(channelName);
  channel.onmessage = (event: MessageEvent<unknown>) => {
    const { data } = event;
    if (Array.isArray(data)) onChanged(data.filter((id) => typeof id === "string"));
  };
  return {
    tell: (breakIds) => channel.postMessage([...breakIds]),
    close: () => channel.close(),
  };
}
