// CSV as RFC 4180 has it: read with no help from the program that wrote it.

/**
 * The rows of a text, the first being the headings, as objects. A byte order mark is for spreadsheets and is passed over, and
 * so is the row of a file without any that only says that there are 0.
 */
export function records(text) {
  const [headings, ...rows] = cells(text.replace(/^\ufeff/, ""));
  const all = rows.map((row) => Object.fromEntries(headings.map((heading, at) => [heading, row[at]])));
  return all.filter((row) => row.end !== "0");
}

function cells(text) {
  const rows = [[]];
  const pattern = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r?\n|$)/y;
  while (pattern.lastIndex < text.length) {
    const found = pattern.exec(text);
    if (!found) throw new Error(`No CSV at ${pattern.lastIndex}: ${text.slice(pattern.lastIndex).slice(0, 80)}`);
    const [, quoted, plain, end] = found;
    rows.at(-1).push(quoted === undefined ? plain : quoted.replaceAll('""', '"'));
    if (end !== "," && pattern.lastIndex < text.length) rows.push([]);
  }
  return rows;
}
