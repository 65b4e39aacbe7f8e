// Checks the zone of a file and says what a contractor needs to know: node check_zone.mjs FILE [URL]
import { readFileSync } from "node:fs";

const [file, url = "http://127.0.0.1:8000"] = process.argv.slice(2);
const headers = { "Content-Type": "application/json" };
const reply = await fetch(`${url}/v1/zones/check`, { method: "POST", headers, body: readFileSync(file, "utf-8") });
const answer = await reply.json();

if (!reply.ok) { // a problem: every fault says where it is and what would do
  for (const fault of answer.errors ?? []) {
    console.log(`${fault.pointer}: ${fault.detail} Accepted: ${fault.accepted}`);
  }
  console.error(answer.detail);
  process.exit(1);
}

const worst = answer.critical_outlet;
console.log(`${answer.name}: ${answer.verdict}`);
console.log(`least to spare: ${worst.margin.toFixed(1)} ${answer.units.pressure} in ${worst.run}`);
for (const finding of answer.findings) console.log(`${finding.severity}: ${finding.message}`);
