/*
 * Looks at setup sheets in a browser, as a person would: on A4, on a desk and on a telephone, light
 * and dark. Prints what it saw; what may be seen is for the tests to say.
 *
 *     node layout.js MODULES FONTS [SHOTS] < VIEWS
 *
 * Each line of VIEWS is a list of views as JSON, and is answered by a line with a list. A view is
 * {"sheet": PATH, "screen": one of SCREENS, "scheme": "light" or "dark", "axe": whether axe is
 * asked about accessibility, "pdf": where what is printed goes, "fallback": whether the browser has
 * only the fonts of the configuration FONTS}. With a folder SHOTS it leaves pictures there.
 * A view of a start page can have {"words": TEXT to search for}: after another search the page stays
 * as it is, and the rest of it is not looked at. Or it can have {"plain": true for no scripts}.
 */
"use strict";

const fs = require("fs");
const path = require("path");
const readline = require("readline");
const url = require("url");

const [modules, fonts, shots] = process.argv.slice(2);

const { chromium } = require(path.resolve(modules, "playwright-core"));
const axe = fs.readFileSync(path.resolve(modules, "axe-core/axe.min.js"), "utf8");

/* It lays out and prints as the browser with windows does, and starts and paints in less time. */
const BROWSER = "/usr/bin/chromium-headless-shell";
const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"];

const SCREENS = {
    telephone: { width: 390, height: 844 },
    desk: { width: 1280, height: 900 },
    a4: { width: 718, height: 1000 }, /* what A4 leaves between the margins of the sheet */
};

/* What is wider than the page, and what in a drawing stands out too little against its ground. */
function look() {
    const luminance = (colour) => {
        const [r, g, b] = colour.match(/[\d.]+/g).map(Number).map((part) => {
            const share = part / 255;
            return share <= 0.03928 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const contrast = (a, b) => {
        const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
        return (high + 0.05) / (low + 0.05);
    };
    const ground = (element) => {
        const colour = getComputedStyle(element).backgroundColor;
        return /, 0\)$/.test(colour) ? ground(element.parentElement) : colour;
    };
    const width = document.documentElement.clientWidth;
    const wide = [...document.querySelectorAll("body *")]
        .filter((element) => !element.closest("svg") || element.tagName === "svg")
        .filter((element) => {
            const box = element.getBoundingClientRect();
            return box.right > width + 0.5 || box.left < -0.5;
        })
        .map((element) => `${element.tagName} ${element.className.baseVal ?? element.className}`);
    const faint = [];
    for (const svg of document.querySelectorAll("svg")) {
        for (const shape of svg.querySelectorAll("text, path, circle, rect")) {
            const style = getComputedStyle(shape);
            const inks = [style.fill, style.stroke].filter((ink) => ink.startsWith("rgb("));
            const best = Math.max(0, ...inks.map((ink) => contrast(ink, ground(svg))));
            const wanted = shape.tagName === "text" ? 4.5 : 3;
            if (best < wanted && !shape.classList.contains("back")) {
                faint.push(`${shape.tagName} ${shape.className.baseVal}: ${best.toFixed(2)}`);
            }
        }
    }
    /* Numbers that go on in another line; a fraction may begin one. */
    const broken = [...document.querySelectorAll(".steps th, .steps td")].filter((cell) => {
        const text = cell.firstChild;
        return [...text.data.matchAll(/\S+/g)].some((word) => {
            const range = document.createRange();
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            return range.getClientRects().length > 1;
        });
    }).map((cell) => cell.textContent);
    const steps = [...document.querySelectorAll(".steps")]
        .filter((box) => box.scrollWidth > box.clientWidth).length;
    return { broken, steps, scroll: document.documentElement.scrollWidth - width, wide, faint };
}

/* Marks that leave the frame of their drawing, and the size of the smallest text in one. */
function measure() {
    const cut = [];
    let smallest = Infinity;
    for (const svg of document.querySelectorAll("svg")) {
        const frame = svg.getBoundingClientRect();
        const out = (x, y) => x < frame.left - 1 || x > frame.right + 1 ||
            y < frame.top - 1 || y > frame.bottom + 1;
        const report = (shape) => cut.push(`${(svg.querySelector("title") || svg).textContent}: ` +
            `${shape.tagName} ${shape.className.baseVal}`);
        for (const shape of svg.querySelectorAll("path, circle, rect")) {
            /* What lies inside as a whole has no point outside. */
            const whole = shape.getBoundingClientRect();
            if (!out(whole.left, whole.top) && !out(whole.right, whole.bottom)) {
                continue;
            }
            const turned = shape.getScreenCTM();
            const length = shape.getTotalLength();
            for (let i = 0; i <= 24; i++) {
                const point = shape.getPointAtLength(length * i / 24).matrixTransform(turned);
                if (out(point.x, point.y)) {
                    report(shape);
                    break;
                }
            }
        }
        for (const text of svg.querySelectorAll("text")) {
            const box = text.getBoundingClientRect();
            if (out(box.left, box.top + box.height / 4) ||
                out(box.right, box.bottom - box.height / 4)) {
                report(text);
            }
            const scale = frame.width / svg.viewBox.baseVal.width;
            smallest = Math.min(smallest, parseFloat(getComputedStyle(text).fontSize) * scale);
        }
    }
    return { cut, smallest };
}

/*
 * The smallest texts there are, in points: what is read at the engine, in drawings, and in the rest,
 * the page's margins too.
 */
function print() {
    const POINT = 3 / 4; /* of a pixel */
    const ENGINE = ".first, .limits, .note, .after, .stage dl, .by-hand td, .by-hand tbody th, " +
        ".about, .again, .page tbody";
    const sizes = { engine: [], drawing: [], rest: [] };
    for (const rule of [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules])) {
        if (rule instanceof CSSPageRule && rule.style.fontSize) {
            sizes.rest.push({ size: parseFloat(rule.style.fontSize), text: "the page's margins" });
        }
    }
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const element = walker.currentNode.parentElement;
        const text = walker.currentNode.textContent.trim();
        const box = element.getBoundingClientRect();
        if (text === "" || box.width === 0) {
            continue;
        }
        const svg = element.closest("svg");
        const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
        const size = parseFloat(getComputedStyle(element).fontSize) * scale * POINT;
        const kind = svg ? "drawing" : element.closest(ENGINE) ? "engine" : "rest";
        sizes[kind].push({ size, text: `${element.tagName}: ${text}` });
    }
    const least = (list) => list.sort((a, b) => a.size - b.size)[0] || null;
    return { engine: least(sizes.engine), drawing: least(sizes.drawing), rest: least(sizes.rest) };
}

/* The browser with usual fonts or other ones; it starts when it is first asked for. */
function browserFor(browsers, { fallback }) {
    const name = `${fallback}`;
    browsers[name] ??= chromium.launch({ executablePath: BROWSER, args: FLAGS,
        env: fallback ? { ...process.env, FONTCONFIG_FILE: path.resolve(fonts) } : process.env });
    return browsers[name];
}

/* The page of a browser, a screen and a scheme; one serves all sheets. */
async function pageFor(browsers, pages, { fallback, screen, scheme, plain }) {
    const name = `${fallback}-${screen}-${scheme}-${plain}`;
    if (!pages[name]) {
        const browser = await browserFor(browsers, { fallback });
        const context = await browser.newContext({ viewport: SCREENS[screen], colorScheme: scheme,
            javaScriptEnabled: !plain });
        pages[name] = await context.newPage();
        await pages[name].emulateMedia({ media: screen === "a4" ? "print" : "screen",
            colorScheme: scheme });
    }
    return pages[name];
}

/* Searches as a person does; the engines that are then shown, and what the page says. */
async function search(page, words) {
    if (words !== undefined) {
        await page.getByRole("searchbox").fill(words);
        await page.keyboard.press("Enter");
    }
    return page.evaluate(() => ({
        shown: [...document.querySelectorAll("[scope=rowgroup]")]
            .filter((engine) => engine.getBoundingClientRect().height > 0)
            .map((engine) => engine.querySelector("span").textContent),
        found: document.getElementById("found")?.textContent,
        searchable: document.getElementById("words")?.getBoundingClientRect().height > 0,
    }));
}

/* What axe has against a page, which is then without drawings: axe judges only their titles. */
async function judge(page) {
    await page.evaluate(() => {
        document.querySelectorAll("svg > :not(title, desc)").forEach((part) => part.remove());
    });
    await page.evaluate(axe);
    const judged = await page.evaluate(() => axe.run({ exclude: [["svg *"]] },
        { resultTypes: ["violations"], preload: false }));
    return judged.violations.map((rule) =>
        `${rule.id}: ${rule.nodes.map((node) => node.target.join(" ")).slice(0, 3).join("; ")}`);
}

async function visit(page, { sheet, screen, scheme, axe: asksAxe, words, pdf }) {
    const asked = [];
    const count = (request) => asked.push(request.url());
    page.on("request", count);
    const address = url.pathToFileURL(path.resolve(sheet)).href;
    if (words === undefined || page.url() !== address) {
        await page.goto(address);
    }
    const seen = { sheet, screen, scheme, asked: asked.length };
    if (words === undefined) {
        Object.assign(seen, await page.evaluate(look), await page.evaluate(measure));
    }
    Object.assign(seen, await search(page, words));
    if (shots) {
        const stem = path.join(shots, `${path.basename(sheet, ".html")}-${screen}-${scheme}`);
        await page.screenshot({ path: `${stem}.png`, fullPage: true });
    }
    if (screen === "a4") {
        seen.least = await page.evaluate(print);
        const paper = await page.pdf({ path: pdf, preferCSSPageSize: true, printBackground: true });
        seen.pages = (paper.toString("latin1").match(/\/Type\s*\/Page\b/g) || []).length;
    }
    seen.violations = asksAxe ? await judge(page) : [];
    page.off("request", count);
    return seen;
}

async function main() {
    const browsers = {};
    const pages = {};
    for await (const line of readline.createInterface({ input: process.stdin })) {
        const seen = [];
        for (const view of JSON.parse(line)) {
            const page = await pageFor(browsers, pages, view);
            seen.push(await visit(page, view));
        }
        console.log(JSON.stringify(seen));
    }
    for (const browser of Object.values(browsers)) {
        await (await browser).close();
    }
}

main().catch((error) => {
    console.error(error);
    process.exit(1);
});
