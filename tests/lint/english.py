"""Checks that messages, comments and pages are plain technical English.

A sentence has at most 25 words, and one of a remedy at most 20. WORDS lists words that must not
come back, each with what to write instead. The check reads the texts and the comments of the C
sources, the man pages and the Markdown pages. It is only the floor: read each sentence aloud.

    english.py [FILE...]     without files: all of them
"""

import pathlib
import re
import sys

LONGEST = 25
LONGEST_OF_REMEDY = 20

# (pattern, what to write instead)
WORDS = (
    (r"\bstands?\b(?! beside the engine)|\bstood\b", "is, is written, withstands"),
    (r"\bbehind\b", "after"),
    (r"(?<!there )\b(?:is|are|was|were) (?:no|none)\b(?! longer)", "is not a, has no, there is no"),
    (r"\btold\b", "reported, said, shown"),
    (r"\bh[eo]ld(?:s|ing)? (?:\w+ )?(?:against|beside)\b", "compared with"),
    (r"\bways? out\b", "remedy, what to do"),
    (r"\bmend(?:s|ed|ing)?\b", "correct, fix, remedy"),
    (r"(?<!back)\blash\b", "backlash"),
    (r"\bwitness(?:es)?\b", "observation"),
    (r"\bhas to be\b|\bhave to be\b", "must be"),
    (r"\bsays? (?:nothing|something|much|more|little) of\b", "says ... about"),
    (r"\bwhat (?:of|comes of)\b", "which part of, what follows from"),
    (r"\bin the place of\b", "instead of"),
    (r"\bput(?:s|ting)? right\b", "correct"),
    (r"\bnobody else\b|\bsomebody else'?s?\b", "another person"),
    (r"\bbe it\b|\bbut for\b|\blest\b|\bhence\b|\b(?:there|where)(?:of|in)\b",
     "plain words"),
    (r"\bof its own\b|\bof one's own\b", "own, separate"),
    (r"\bat all\b", "leave it out"),
    (r"\ball the same\b|\beven so\b", "still"),
    (r"\blets? go\b", "releases, overruns"),
    (r"\bwants? an?\b", "needs"),
    (r"^(?:nor|so) (?:is|are|do|does|did|can|could|was|were|has|have|must|may)\b"
     r"|, nor \w|\band nor\b|\band neither\b|^had (?:the|an?|it|this)\b", "no inversion"),
    (r"\bby the definition\b", "the definition says"),
    (r"\bput .{1,20} in its place\b|\bnobody may\b", "replace, no person may"),
    (r"\bamiss\b|\bwanting\b|\bforthwith\b|\blikewise\b", "wrong, missing, also"),
)


def sentences(text):
    """The sentences of running text."""
    text = re.sub(r"\s+", " ", text)
    # Not a sentence's end: decimals, file names, abbreviations.
    for part in re.split(r"(?<=[A-Za-z0-9%)'\"’])[.!?:;](?=\s|$)", text):
        part = part.strip()
        if part:
            yield part


def words(sentence):
    """How many words a sentence has; a number with its unit, a path, a name is one each."""
    return len([w for w in re.findall(r"[^\s]+", sentence) if re.search(r"[A-Za-z0-9%]", w)])


STRING = re.compile(r'"((?:[^"\\\n]|\\.)*)"')
COMMENT = re.compile(r"/\*.*?\*/", re.S)


def c_texts(source):
    """Adjacent string literals, joined; (line, text)."""
    source = COMMENT.sub(lambda m: re.sub(r"[^\n]", " ", m.group()), source)
    kept = "\n".join("" if line.lstrip().startswith("#include") else line
                     for line in source.split("\n"))
    at = 0
    run, start, end = "", None, 0
    for found in STRING.finditer(kept, at):
        between = kept[end:found.start()]
        joined = run and re.fullmatch(r"\s*(?:PRI\w+\s*)?\\?\s*", between)
        if not joined:
            if run:
                yield kept.count("\n", 0, start) + 1, run
            run, start = "", found.start()
        run += found.group(1)
        end = found.end()
    if run:
        yield kept.count("\n", 0, start) + 1, run


def c_comments(source):
    for found in COMMENT.finditer(source):
        text = re.sub(r"^\s*\*", "", found.group()[2:-2], flags=re.M)
        yield source.count("\n", 0, found.start()) + 1, text


def remedies(source):
    """The lines on which texts of remedies begin: of finding_remedy, and the last one of a row."""
    lines = set()
    calls = r"finding_remedy\(.*?\);|^ROW\(.*?\)\n(?=\S|\s*$)"
    for found in re.finditer(calls, source, re.S | re.M):
        first = source.count("\n", 0, found.start())
        inside = [first + line for line, _ in c_texts(found.group())]
        lines.update(inside[-1:] if found.group().startswith("ROW") else inside)
    return lines


def plain(text):
    """A C text as people read it."""
    text = re.sub(r"%[-+ #0]*(?:\*|\d+)?(?:\.(?:\*|\d+))?(?:hh|h|ll|l|z|j)?[diouxXcsp]", "7", text)
    text = re.sub(r"</?[a-z][^<>]*>", " ", text)
    text = re.sub(r"(?<=[.:;?!])\\n|\\n(?=[a-z])", " ", text)
    return text.replace("\\n", ". ").replace('\\"', '"').replace("%%", "%").replace("\\\\", "\\")


def is_prose(text):
    """Whether a literal is for people: letters and at least one blank."""
    return re.search(r"(?:[a-z]{2,}|%s|[A-Z]) [a-z]{2}", text) and not re.search(
        r"[{};][a-z-]+:|^\^", text)


def man_texts(source):
    """The paragraphs of a man page."""
    line, text, skipped, synopsis = 1, "", 0, False
    for number, row in enumerate(source.split("\n"), 1):
        if re.match(r"\.Bd|\.EX", row):
            skipped += 1
        if skipped:
            skipped -= bool(re.match(r"\.Ed|\.EE", row))
            yield line, text
            text = ""
            continue
        if row.startswith(".Sh "):
            synopsis = row == ".Sh SYNOPSIS"
        if synopsis or row.startswith(('.\\"', ".Fn", ".Ft", ".Fo", ".Fa", ".Fc")):
            continue
        if row.startswith("."):
            macro, *rest = row[1:].split(" ")
            if macro in ("Pp", "It", "Sh", "Ss", "Bl", "El", "Dl", "D1", "Dt", "Dd", "Os", "Nd"):
                yield line, text
                text, line = "", number
                continue
            row = " ".join(word for word in rest if not re.fullmatch(r"[A-Z][a-z]", word))
            row = re.sub(r" ([.,;:)])", r"\1", row)
        text += " " + row.replace("\\&", "").replace("\\(", "")
    yield line, text


def markdown_texts(source):
    """The paragraphs, list items and table cells of a page; code left out."""
    line, text, fenced = 1, "", False
    for number, row in enumerate(source.split("\n") + [""], 1):
        if row.lstrip().startswith("```"):
            fenced = not fenced
            row = ""
        if fenced:
            continue
        if row.startswith(" ") and "│" in row or not row.strip() or re.match(r"[-#|]|\d+\.", row):
            yield line, text
            text, line = "", number
        if row.startswith("|"):
            for cell in row.strip("|").split("|"):
                yield number, cell
            continue
        text += " " + re.sub(r"`[^`]*`", "CODE", row)
    yield line, text


def texts(path):
    """The texts of a file for people: (line, text)."""
    source = path.read_text(encoding="utf-8")
    if path.suffix in (".c", ".h", ".def"):
        yield from c_comments(source)
        for line, text in c_texts(source):
            if is_prose(text):
                yield line, plain(text)
    elif path.suffix == ".md":
        yield from markdown_texts(source)
    else:
        yield from man_texts(source)


def check(path):
    """What is wrong with a file, a line each."""
    is_code = path.suffix in (".c", ".def")
    short = remedies(path.read_text(encoding="utf-8")) if is_code else set()
    for line, text in texts(path):
        for sentence in sentences(text):
            if words(sentence) > (LONGEST_OF_REMEDY if line in short else LONGEST):
                yield f"{path}:{line}: {words(sentence)} words: {sentence[:70]}..."
            for pattern, instead in WORDS:
                found = re.search(pattern, sentence, re.I)
                if found:
                    yield (f"{path}:{line}: '{found.group()}' (write: {instead}): "
                           f"{sentence[:60]}")


def everything():
    """The files that people read."""
    for path in sorted([*pathlib.Path("src").rglob("*"), *pathlib.Path("man").glob("*"),
                        *pathlib.Path().glob("*.md"),
                        *pathlib.Path("engines-demo").glob("*.md")]):
        if path.suffix in (".c", ".h", ".def", ".md", ".1", ".3", ".5", ".7"):
            yield path


def main():
    files = [pathlib.Path(name) for name in sys.argv[1:]] or everything()
    wrong = [row for path in files for row in check(path)]
    print("\n".join(wrong), end="\n" if wrong else "", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
