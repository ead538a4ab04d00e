// Reads the rows of positions.py (JSON) and prints [altitude, azimuth] in deg of
// the sun by astronomy-engine for each: topocentric, of date, no refraction.
const { readFileSync } = require("node:fs");
const A = require("astronomy-engine");

const rows = JSON.parse(readFileSync(0, "utf8"));
const answers = rows.map((row) => {
  A.SetDeltaTFunction(() => row.delta_t);
  const time = A.MakeTime(new Date(row.ut1));
  const observer = new A.Observer(row.latitude, row.longitude, row.elevation);
  const sun = A.Equator(A.Body.Sun, time, observer, true, true);
  const seen = A.Horizon(time, observer, sun.ra, sun.dec);
  return [seen.altitude, seen.azimuth];
});
console.log(JSON.stringify(answers));
