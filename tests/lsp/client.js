// A real client for the language server. It opens a document, changes it, asks for everything that
// the server offers, and prints the answers as JSON. Arguments: node_modules, program, file, device.
'use strict';

const { spawn } = require('child_process');
const fs = require('fs');
const path = require('path');

const [modules, program, file, device] = process.argv.slice(2);
const protocol = require(path.join(modules, 'vscode-languageserver-protocol', 'node.js'));

const uri = 'file://' + file;
const good = fs.readFileSync(file, 'utf8');

// The position of a text: line and character from 0.
function place(text, wanted, after) {
    const at = text.indexOf(wanted) + (after ? wanted.length : 0);
    const before = text.slice(0, at).split('\n');
    return { line: before.length - 1, character: before[before.length - 1].length };
}

// The text after a list of edits, applied from its end.
function apply(text, edits) {
    const lines = text.split('\n');
    const offset = (p) => lines.slice(0, p.line).reduce((n, l) => n + l.length + 1, 0) + p.character;
    const ordered = [...edits].sort((a, b) => offset(b.range.start) - offset(a.range.start));
    return ordered.reduce(
        (t, e) => t.slice(0, offset(e.range.start)) + e.newText + t.slice(offset(e.range.end)), text);
}

async function main() {
    const child = spawn(program, ['lsp', '--device', device], { stdio: ['pipe', 'pipe', 'inherit'] });
    const exited = new Promise((resolve) => child.on('exit', resolve));
    const connection = protocol.createMessageConnection(
        new protocol.StreamMessageReader(child.stdout),
        new protocol.StreamMessageWriter(child.stdin));
    const published = [];
    let wake = () => {};
    connection.onNotification(protocol.PublishDiagnosticsNotification.type, (params) => {
        published.push(params.diagnostics);
        wake();
    });
    const next = async () => {
        while (published.length === 0) {
            await new Promise((resolve) => { wake = resolve; });
        }
        return published.shift();
    };
    connection.listen();
    const answers = {};
    answers.early = await connection.sendRequest('textDocument/hover', {}).catch((e) => e.code);
    answers.initialized = await connection.sendRequest(protocol.InitializeRequest.type, {
        processId: process.pid, rootUri: null, capabilities: {},
    });
    await connection.sendNotification(protocol.InitializedNotification.type, {});
    const document = { uri, languageId: 'yaml', version: 1 };
    const at = { textDocument: { uri } };

    const change = async (text) => {
        document.version++;
        await connection.sendNotification(protocol.DidChangeTextDocumentNotification.type, {
            textDocument: { uri, version: document.version }, contentChanges: [{ text }],
        });
        return next();
    };
    const actions = async (text) => connection.sendRequest(protocol.CodeActionRequest.type, {
        ...at, context: { diagnostics: [] },
        range: { start: { line: 0, character: 0 }, end: { line: text.split('\n').length, character: 0 } },
    });

    await connection.sendNotification(protocol.DidOpenTextDocumentNotification.type,
        { textDocument: { ...document, text: good } });
    answers.clean = await next();

    const mistakes = {
        swapped: good.replace(/turns: \{pad: ([\d.]+), rotor: ([\d.]+)\}/, 'turns: {pad: $2, rotor: $1}'),
        key: good.replace('numbering:', 'numbring:'),
        unit: good.replace('torque-limit: 40 lbf.ft', 'torque-limit: 40 ft-lb'),
        reference: good.replace('spool: HP', 'spool: HPX'),
    };
    answers.mended = {};
    for (const [name, text] of Object.entries(mistakes)) {
        const found = await change(text);
        const offered = await actions(text);
        const left = [];
        for (const action of offered) {
            const mended = apply(text, action.edit.changes[uri]);
            const after = await change(mended);
            left.push({ title: action.title, same: mended === good,
                        errors: after.filter((d) => d.severity === 1).length });
            await change(text);
        }
        answers.mended[name] = { found: found.filter((d) => d.severity === 1), offered: left };
    }
    // A character outside the basic plane, before a value: it is two units of UTF-16.
    const wide = good.replace(/^name: .*$/m, 'name: {"\u{1F527}": 1}');
    answers.wide = (await change(wide)).filter((d) => d.severity === 1);

    await change(good);
    const position = (wanted, after) => ({ ...at, position: place(good, wanted, after) });
    answers.hover = await connection.sendRequest(protocol.HoverRequest.type, position('turns:'));
    answers.stage = await connection.sendRequest(protocol.HoverRequest.type, position('blades: 31'));
    answers.keys = await connection.sendRequest(protocol.CompletionRequest.type, position('torque-limit'));
    answers.words = await connection.sendRequest(protocol.CompletionRequest.type, position('drives: ', true));
    answers.ids = await connection.sendRequest(protocol.CompletionRequest.type, position('spool: ', true));
    const half = good.replace('    drives: both', '    dri');
    await change(half);
    answers.typing = await connection.sendRequest(protocol.CompletionRequest.type,
        { ...at, position: place(half, '    dri\n', false).line >= 0
            ? { line: place(half, '    dri\n').line, character: 7 } : null });
    await change(good);
    answers.definition = await connection.sendRequest(protocol.DefinitionRequest.type, position('spool: HP', true));
    answers.symbols = await connection.sendRequest(protocol.DocumentSymbolRequest.type, at);
    answers.unknown = await connection.sendRequest('textDocument/nothing', at).catch((e) => e.code);
    answers.lost = await connection.sendRequest(protocol.HoverRequest.type,
        { textDocument: { uri: 'file:///nowhere' }, position: { line: 0, character: 0 } }).catch((e) => e.code);
    await connection.sendNotification(protocol.DidCloseTextDocumentNotification.type, at);
    answers.closed = await next();
    await connection.sendRequest(protocol.ShutdownRequest.type);
    answers.late = await connection.sendRequest(protocol.HoverRequest.type, position('turns:')).catch((e) => e.code);
    await connection.sendNotification(protocol.ExitNotification.type);
    answers.status = await exited;
    process.stdout.write(JSON.stringify(answers));
    connection.dispose();
}

main().catch((error) => { console.error(error); process.exit(1); });
