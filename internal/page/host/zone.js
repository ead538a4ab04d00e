// zoneRules asks the browser when the clocks of a zone are changed, from the
// year before to the one after; nothing of a zone that it does not know.
function zoneRules(name, year) {
  let format;
  try {
    format = new Intl.DateTimeFormat('en-US', { timeZone: name, hourCycle: 'h23', year: 'numeric', month: 'numeric',
      day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric' });
  } catch (error) { return []; }
  const offset = (t) => {
    const p = Object.fromEntries(format.formatToParts(t * 1000).map(({ type, value }) => [type, Number(value)]));
    return Date.UTC(p.year, p.month - 1, p.day, p.hour, p.minute, p.second) / 1000 - t;
  };
  const week = 7 * 86400, end = Date.UTC(year + 2, 0, 1) / 1000;
  let t = Date.UTC(year - 1, 0, 1) / 1000, last = offset(t);
  const changes = [{ from: t, offset_s: last }];
  for (; t < end; t += week) {
    const next = offset(t + week);
    if (next === last) continue;
    let before = t, after = t + week;
    while (after - before > 1) {
      const middle = Math.floor((before + after) / 2);
      if (offset(middle) === last) before = middle; else after = middle;
    }
    changes.push({ from: after, offset_s: next });
    last = next;
  }
  const least = Math.min(...changes.map((c) => c.offset_s));
  for (const c of changes) c.summer = c.offset_s > least;
  return [{ name, changes }];
}
