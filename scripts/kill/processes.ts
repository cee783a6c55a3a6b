import { execFileSync } from "node:child_process";

interface Running {
  readonly pid: number;
  readonly parent: number;
  readonly command: string;
}

function running(): Running[] {
  const lines = execFileSync("ps", ["-axww", "-o", "pid=,ppid=,command="], { encoding: "utf8", maxBuffer: 64e6 }).split(
    "\n",
  );
  return lines.flatMap((line) => {
    const [, pid, parent, command] = /^\s*(\d+)\s+(\d+)\s+(.*)$/.exec(line) ?? [];
    return command === undefined ? [] : [{ pid: Number(pid), parent: Number(parent), command }];
  });
}

/**
 * The processes of the browser that runs on this profile: those that name it, and everything they started.
 * No other browser on the machine names the profile, so no other is ever touched.
 */
export function browserProcesses(profile: string): number[] {
  const all = running();
  const found = new Set(
    all.filter(({ command }) => command.includes(`--user-data-dir=${profile}`)).map(({ pid }) => pid),
  );
  for (let grew = true; grew;) {
    grew = false;
    for (const { pid, parent } of all)
      if (found.has(parent) && !found.has(pid)) {
        found.add(pid);
        grew = true;
      }
  }
  found.delete(process.pid);
  return [...found];
}

/** Kills processes without a chance to tidy up. @returns how many were there to kill. */
export function killHard(pids: readonly number[]): number {
  let killed = 0;
  for (const pid of pids)
    try {
      process.kill(pid, "SIGKILL");
      killed++;
    } catch (failure) {
      // A child may have followed its parent in the meantime.
      if (!(failure instanceof Error && "code" in failure && failure.code === "ESRCH")) throw failure;
    }
  return killed;
}
