// Sends the zone in the form to the service and shows what comes back. Text only ever goes in as text.
"use strict";

const form = document.getElementById("zone-form");
const result = document.getElementById("result");

document.getElementById("host").textContent = new URL(".", location.href).href;

function element(name, text = "", kind = "") {
  const made = document.createElement(name);
  made.textContent = text;
  if (kind) made.className = kind;
  return made;
}

function list(items, label) {
  const made = element("ul", "", "findings");
  for (const [kind, name, text] of items) {
    const item = element("li", "", kind);
    item.append(element(label, name), " " + text);
    made.append(item);
  }
  return made;
}

function figures(answer) {
  const told = [
    ["flow", answer.flow, answer.units.flow],
    ["at the zone inlet", answer.zone_inlet_pressure, answer.units.pressure],
    ["at the end of the line", answer.end_of_line_pressure, answer.units.pressure],
    ["to spare at the worst outlet", answer.critical_outlet.margin, answer.units.pressure],
    ["emission uniformity", answer.uniformity.emission_uniformity, "%"],
  ];
  const made = element("dl", "", "figures");
  for (const [name, value, unit] of told) {
    if (value === undefined) continue;
    const box = element("div");
    box.append(element("dt", name), element("dd", `${Number(value.toPrecision(3))} ${unit}`));
    made.append(box);
  }
  return made;
}

function everything(answer) {
  const made = element("details");
  made.append(element("summary", "The whole answer"), element("pre", JSON.stringify(answer, null, 2)));
  return made;
}

function showAnswer(answer) {
  const findings = answer.findings.map((finding) => [finding.severity, finding.severity, finding.message]);
  const regulator = `Pressure regulator: ${answer.regulator.advice.replace("_", " ")}. ${answer.regulator.reasons.join(" ")}`;
  result.replaceChildren(
    element("p", answer.verdict, `verdict ${answer.verdict}`), figures(answer), list(findings, "b"), element("p", regulator),
    everything(answer),
  );
}

function showProblem(problem) {
  const errors = (problem.errors || []).map((e) => ["fail", e.pointer, `${e.detail} Accepted: ${e.accepted}`]);
  result.replaceChildren(element("p", `${problem.title}. ${problem.detail}`), list(errors, "code"));
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const button = form.querySelector("button");
  button.disabled = true;
  try {
    const reply = await fetch("v1/zones/check", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: form.elements.zone.value,
    });
    (reply.ok ? showAnswer : showProblem)(await reply.json());
  } catch {
    result.replaceChildren(element("p", "The service did not answer; is it still running?"));
  } finally {
    button.disabled = false;
  }
});
