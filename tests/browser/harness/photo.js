// Files as a phone and a maker give them: a photo as PNG and a document as PDF, made here byte by byte.
import { crc32, deflateSync } from "node:zlib";

/** A photo of a grey sheath with a red cut across it. */
export function photo(width = 640, height = 480) {
  const row = (y) => {
    const line = Buffer.alloc(1 + 3 * width, 150);
    line[0] = 0;
    if (Math.abs(y - height / 2) < 12) for (let x = 0; x < width; x += 1) line.set([190, 40, 30], 1 + 3 * x);
    return line;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 2, 0, 0, 0], 8);
  const said = Buffer.from("Comment\0taken at 51.5 N, 0.1 W");
  const rows = Buffer.concat(Array.from({ length: height }, (_, y) => row(y)));
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const chunks = [chunk("IHDR", head), chunk("tEXt", said), chunk("IDAT", deflateSync(rows)), chunk("IEND", Buffer.alloc(0))];
  return Buffer.concat([signature, ...chunks]);
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name), data]);
  const size = Buffer.alloc(4);
  size.writeUInt32BE(data.length);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(body));
  return Buffer.concat([size, body, sum]);
}

/** A document of one empty page. */
export function document() {
  const parts = [
    "<< /Type /Catalog /Pages 2 0 R >>",
    "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
    "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 200] >>",
  ];
  let text = "%PDF-1.4\n";
  const places = parts.map((part, at) => {
    const place = text.length;
    text += `${at + 1} 0 obj\n${part}\nendobj\n`;
    return place;
  });
  const table = text.length;
  const lines = places.map((place) => `${String(place).padStart(10, "0")} 00000 n \n`).join("");
  text += `xref\n0 4\n0000000000 65535 f \n${lines}trailer\n<< /Size 4 /Root 1 0 R >>\nstartxref\n${table}\n%%EOF\n`;
  return Buffer.from(text, "latin1");
}
