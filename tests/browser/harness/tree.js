// The root of a Merkle tree by RFC 6962, section 2.1, from the hashes of its leaves.
import { createHash } from "node:crypto";

/** The root over leaf hashes in hexadecimal, in hexadecimal. */
export function root(leaves) {
  return over(leaves.map((leaf) => Buffer.from(leaf, "hex"))).toString("hex");
}

function over(leaves) {
  if (leaves.length === 0) return createHash("sha256").digest();
  if (leaves.length === 1) return leaves[0];
  let left = 1;
  while (left * 2 < leaves.length) left *= 2;
  const inner = createHash("sha256").update(Buffer.of(1));
  return inner.update(over(leaves.slice(0, left))).update(over(leaves.slice(left))).digest();
}
