import type { Split } from "../../model/reference/member.ts";
import type { GroupBy } from "../../model/reference/splits.ts";

export const PART_NAME: Readonly<Record<Split, string>> = { train: "train", val: "validation", test: "test" };
export const PART_SAYS: Readonly<Record<Split, string>> = {
  train: "to learn from",
  val: "to choose by while learning",
  test: "to judge with, once learning is done",
};
export const GROUP_SAYS: Readonly<Record<GroupBy, string>> = {
  break: "the photographs of one break",
  cast: "all breaks of one cast",
  coil: "all breaks of one coil",
};
