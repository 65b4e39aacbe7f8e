// A program as a user would write it: types from the API document, calls by openapi-fetch. Prints what it learned.
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./generated/api.js";

const [base, file] = process.argv.slice(2) as [string, string];
// Of all formats that answers come in, this program reads JSON, and problems.
type Read = "application/json" | "application/problem+json";
const client = createClient<paths, Read>({ baseUrl: base });
const zone = JSON.parse(readFileSync(file, "utf-8")) as components["schemas"]["Zone"];

const checked = await client.POST("/v1/zones/check", { body: zone });
if (!checked.data) throw new Error("the zone should have an answer");
const verdict: "pass" | "caution" | "fail" = checked.data.verdict;
const margin: number = checked.data.critical_outlet.margin;

const refused = await client.POST("/v1/zones/check", { body: { ...zone, runs: [] } });
if (!refused.error) throw new Error("a zone without runs should have none");
const pointers: string[] = (refused.error.errors ?? []).map((error) => error.pointer);

const parts = await client.GET("/v1/parts", { params: { query: { kind: "pipe", units: "metric" } } });
const bores: number[] = (parts.data?.parts ?? []).flatMap((part) =>
  part.kind_of_part === "pipe" ? [part.inside_diameter] : [],
);

console.log(JSON.stringify({ verdict, margin, pointers, bores: bores.length }));
