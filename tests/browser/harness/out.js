// What is with crews when a story begins.

/** Counts back every kit of the demo that is out, all of it fine, so that a story may issue what it likes. */
export async function bringsBackWhatIsOut(visitor) {
  const { rows } = await visitor.json("/api/v1/jobs");
  for (const { id, issued } of rows.filter((job) => job.issued)) {
    await visitor.open(`/jobs/${id}/issues/${issued}/return`);
    await visitor.choose(/^What has no answer/, /fine/i);
    await visitor.write("Hours", "1");
    await visitor.write("Times used", "1");
    await visitor.press("Count it back");
  }
}
