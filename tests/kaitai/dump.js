// Compiles the Kaitai Struct description and prints what it reads in tables, as a list in JSON.
//
//   node dump.js MODULES SCHEMA-AS-JSON TABLE...
//
// Records keep the names of the description; an enumeration is printed as its word, a text as
// it stands, bytes in hexadecimal.  A number that a double cannot hold exactly is an error; a table
// that the description refuses becomes an object with that error.
"use strict";

const fs = require("fs");
const path = require("path");
const [modules, schemaFile, ...tableFiles] = process.argv.slice(2);
const load = (name) => require(path.join(modules, name));

// The description's fields in order: their names in a program, and their enumerations.
function fieldsOf(type) {
    return type.seq.map((field) => ({ id: field.id, enumeration: field.enum }));
}

const camel = (id) => id.replace(/_(.)/g, (_, letter) => letter.toUpperCase());
const pascal = (id) => camel("_" + id);

function printable(value, enumeration, RotorTable, schema) {
    if (enumeration) {
        const word = RotorTable[pascal(enumeration)][value];
        return word === undefined ? value : word.toLowerCase();
    }
    if (value instanceof Uint8Array || Array.isArray(value)) {
        return Buffer.from(value).toString("hex");
    }
    if (value instanceof RotorTable.Text) {
        return value.value;
    }
    if (typeof value === "number") {
        if (!Number.isSafeInteger(value)) {
            throw new Error(`${value} is no exact number`);
        }
        return value;
    }
    return record(value, RotorTable, schema);
}

function record(object, RotorTable, schema) {
    const name = Object.keys(schema.types).find((id) => object instanceof RotorTable[pascal(id)]);
    const told = {};
    for (const { id, enumeration } of fieldsOf(schema.types[name])) {
        told[id] = printable(object[camel(id)], enumeration, RotorTable, schema);
    }
    return told;
}

function readTable(RotorTable, schema, KaitaiStream, file) {
    const table = new RotorTable(new KaitaiStream(fs.readFileSync(file)));
    const sections = {};
    for (const entry of table.directory) {
        const kind = printable(entry.kind, "section", RotorTable, schema);
        sections[kind] = (entry.records || []).map(
            (item) => (item instanceof Uint8Array ? printable(item)
                : record(item, RotorTable, schema)));
    }
    return {
        header: record(table.header, RotorTable, schema),
        directory: table.directory.map((entry) => record(entry, RotorTable, schema)),
        sections,
        texts: printable(table.textPool.bytes),
        trailer: table.trailer,
    };
}

async function main() {
    const KaitaiStream = load("kaitai-struct/KaitaiStream");
    const schema = JSON.parse(fs.readFileSync(schemaFile, "utf8"));
    const sources = await load("kaitai-struct-compiler").compile("javascript", schema, null, false);
    const holder = { exports: {} };
    const run = new Function("module", "exports", "require", sources["RotorTable.js"]);
    run(holder, holder.exports, load);
    const RotorTable = holder.exports.RotorTable;
    console.log(JSON.stringify(tableFiles.map((file) => {
        try {
            return readTable(RotorTable, schema, KaitaiStream, file);
        } catch (error) {
            return { error: String(error) };
        }
    })));
}

main().catch((error) => {
    console.error(error);
    process.exit(1);
});
