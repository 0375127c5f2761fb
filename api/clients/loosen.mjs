// Lengths and depths come in three forms, a text, a number or an object, and
// so their schemas have no `type`. Generators take such a schema for an object
// because it describes one; this leaves its description alone, so that they
// take it for anything. Usage: node loosen.mjs openapi.json > loose.json
import { readFileSync } from "node:fs";

const contract = JSON.parse(readFileSync(process.argv[2], "utf8"));
for (const schema of Object.values(contract.components.schemas)) {
  if (schema.not && !schema.type) {
    const { description } = schema;
    for (const keyword of Object.keys(schema)) delete schema[keyword];
    schema.description = description;
  }
}
process.stdout.write(JSON.stringify(contract));
