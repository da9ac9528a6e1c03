// Reads schemas strictly. Prints, for each file, what it says of the schema; "fine" if nothing.
const fs = require("fs");
const path = require("path");

const [modules, ...files] = process.argv.slice(2);
const Ajv = require(path.join(modules, "ajv/dist/2020")).default;

for (const file of files) {
  const said = [];
  const say = (message) => said.push(String(message));
  try {
    // What is compiled never runs: to optimize it is waste.
    const logger = { log: say, warn: say, error: say };
    const ajv = new Ajv({ strict: true, code: { optimize: false }, logger });
    ajv.compile(JSON.parse(fs.readFileSync(file, "utf8")));
  } catch (error) {
    say(error.message);
  }
  console.log(said.length === 0 ? "fine" : said.join("; "));
}
