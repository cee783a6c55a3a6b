import { type BinaryWriter, WireType } from "@bufbuild/protobuf/wire";

/** Writes a nested message under a field number. */
export function nested(writer: BinaryWriter, field: number, write: (writer: BinaryWriter) => void): void {
  writer.tag(field, WireType.LengthDelimited).fork();
  write(writer);
  writer.join();
}

export const text = (writer: BinaryWriter, field: number, value: string): BinaryWriter =>
  writer.tag(field, WireType.LengthDelimited).string(value);

export const whole = (writer: BinaryWriter, field: number, value: number): BinaryWriter =>
  writer.tag(field, WireType.Varint).int64(value);
