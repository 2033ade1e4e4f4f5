#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs every shell block of README, DEVELOPERS and docs/ and compares what it prints with the page.

    tests/docs/pages.py            compares
    tests/docs/pages.py --write    writes the outputs and pictures anew (make docs)
    tests/docs/pages.py PAGE ..    these pages alone

A block fenced as ```sh is run by bash, the blocks of a page one after the other in one folder, which
holds examples/ and, as in a clone after `make`, .build/opt/ballastry. What it prints, errors too, stands
in a block fenced as ```text right behind it; where it prints nothing there is none. An exit status other
than 0 stands as a last line, "(exit status 1)". A block whose first line begins with NOT_RUN is not run,
and counted. A drawing NAME.svg that a page shows is the file NAME.svg that the page's blocks wrote.

Besides: no command stands in a block that is not fenced as sh; every link leads somewhere; the index
lists every page.
"""
import concurrent.futures, os, re, shutil, subprocess, sys, tempfile

NOT_RUN = "# not run by the tests: "
COMMAND = re.compile(r"(ballastry|make|sudo|apt-get|cd|cc|c\+\+|git|for|printf|sed|jq|parallel|\.build/\S+) ")
INDEX = "docs/README.md"
TALLY = re.compile(r"\d+ blocks of commands are run, \d+ are not")
TOP = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


class Page:
    """One page: its new text, and what was found on it."""

    def __init__(self, name):
        self.name, self.faults = name, []
        self.run = self.not_run = self.good = 0
        self.pictures = {}  # drawing on the page -> what the page's blocks wrote, or None
        with open(name, encoding="utf-8") as file:
            self.lines = file.read().split("\n")
        self.text = "\n".join(self.lines)

    def fault(self, line, text):
        self.faults.append(f"{self.name}:{line + 1}: {text}")


def fenced(lines, at):
    """The line that closes the fence opened at `at`."""
    for end in range(at + 1, len(lines)):
        if lines[end].rstrip() == "```":
            return end
    return None


def run_block(script, folder, program):
    environment = {"PATH": folder + "/.path:" + os.environ["PATH"], "HOME": folder, "LC_ALL": "C",
                   "NO_COLOR": "1", "XDG_CONFIG_HOME": folder + "/.config", "TMPDIR": folder + "/.tmp"}
    for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS", "TSAN_OPTIONS", "LSAN_OPTIONS"):
        if name in os.environ:
            environment[name] = os.environ[name]
    done = subprocess.run(["bash", "-eu", "-c", script], cwd=folder, env=environment, timeout=600,
                          stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    said = [line.rstrip() for line in done.stdout.decode("utf-8", "replace").rstrip().split("\n")]
    said = [] if said == [""] else said
    return said + ([f"(exit status {done.returncode})"] if done.returncode else [])


def make_folder(program):
    folder = tempfile.mkdtemp()
    shutil.copytree("examples", folder + "/examples")
    for place in (".path", ".build/opt", ".tmp"):
        os.makedirs(f"{folder}/{place}")
    os.symlink(program, folder + "/.path/ballastry")
    os.symlink(program, folder + "/.build/opt/ballastry")
    return folder


def work(page, program):
    """Goes through the page, block by block."""
    lines, out, i, folder = page.lines, [], 0, None
    while i < len(lines):
        if not lines[i].startswith("```"):
            if lines[i].startswith("    ") and COMMAND.match(lines[i].strip()):
                page.fault(i, "a command in a block that is not fenced as sh")
            out.append(lines[i])
            i += 1
            continue
        end = fenced(lines, i)
        if end is None:
            page.fault(i, "a fence that is not closed")
            return
        kind, body = lines[i][3:].strip(), lines[i + 1:end]
        out += lines[i:end + 1]
        i = end + 1
        if kind == "text":
            page.fault(end, "printed output that no block of commands stands before")
        elif kind != "sh":
            if any(COMMAND.match(line) for line in body):
                page.fault(end, "a command in a block that is not fenced as sh")
        elif body and body[0].startswith(NOT_RUN):
            page.not_run += 1
        else:
            folder = folder or make_folder(program)
            said = run_block("\n".join(body), folder, program)
            page.run += 1
            shown = i + 1 if i < len(lines) and lines[i] == "" and lines[i + 1:i + 2] == ["```text"] else i
            stood = []
            if lines[shown:shown + 1] == ["```text"]:
                close = fenced(lines, shown)
                if close is None:
                    page.fault(shown, "a fence that is not closed")
                    return
                stood, i = lines[shown + 1:close], close + 1
            if stood == said:
                page.good += 1
            else:
                first = next((k for k, (a, b) in enumerate(zip(stood, said)) if a != b), min(len(stood), len(said)))
                page.fault(shown, f"the page says\n    {''.join(stood[first:first + 1])}\nand it is\n    "
                                  f"{''.join(said[first:first + 1])}\n(make docs writes it anew)")
            if said:
                out += ["```text"] + said + ["```"]
    page.text = "\n".join(out)
    for where in re.findall(r"!\[[^]]*\]\(([^)]*\.svg)\)", page.text):
        made = f"{folder}/{os.path.basename(where)}"
        if folder is None or not os.path.exists(made):
            page.fault(0, f"no block of the page draws {where}")
            continue
        with open(made, "rb") as file:
            page.pictures[os.path.normpath(os.path.join(os.path.dirname(page.name), where))] = file.read()
    if folder:
        shutil.rmtree(folder)


def heading_names(path):
    """The anchors of a page's headings, as the usual viewers make them."""
    with open(path, encoding="utf-8") as file:
        heads = re.findall(r"^#+ (.*)$", file.read(), re.M)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def check_links(page):
    for where in re.findall(r"\]\(([^)\s]+)\)", re.sub(r"`[^`]*`", "", page.text)):
        if "://" in where or where.startswith("mailto:"):
            continue
        path, _, anchor = where.partition("#")
        path = os.path.normpath(os.path.join(os.path.dirname(page.name), path)) if path else page.name
        if not os.path.exists(path):
            page.fault(0, f"a link to {where}, which is not there")
        elif anchor and anchor not in heading_names(path):
            page.fault(0, f"a link to {where}: no such heading")
        else:
            page.good += 1


def check_index(pages, fault):
    with open(INDEX, encoding="utf-8") as file:
        text = file.read()
    good = 0
    for page in pages:
        if page.startswith("docs/") and page != INDEX:
            if f"]({page[len('docs/'):]})" in text:
                good += 1
            else:
                fault(f"{INDEX} does not list {page}")
    return good


def write(page):
    with open(page.name, "w", encoding="utf-8") as file:
        file.write(page.text)
    for where, drawing in page.pictures.items():
        with open(where, "wb") as file:
            file.write(drawing)


def main(arguments):
    os.chdir(TOP)
    program = os.path.realpath(os.environ.get("BALLASTRY", ".build/opt/ballastry"))
    writing = "--write" in arguments
    named = [name for name in arguments if name != "--write"]
    every = ["README.md", "DEVELOPERS.md"] + sorted(
        f"{folder}/{name}" for folder in ("docs", "docs/commands") for name in os.listdir(folder) if name.endswith(".md"))
    pages = [Page(name) for name in named or every]
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(lambda page: work(page, program), pages))
    faults = []
    run, not_run = sum(page.run for page in pages), sum(page.not_run for page in pages)
    for page in pages:
        if page.name == INDEX and not named:
            tally = f"{run} blocks of commands are run, {not_run} are not"
            if TALLY.sub(tally, page.text) != page.text or not TALLY.search(page.text):
                page.fault(0, f"should say: {tally}")
            page.text = TALLY.sub(tally, page.text)
        for where, drawing in page.pictures.items():
            if os.path.exists(where) and open(where, "rb").read() == drawing:
                page.good += 1
            else:
                page.fault(0, f"{where} is not what the page's blocks draw now (make docs writes it anew)")
        if writing:
            write(page)
            page.faults = [fault for fault in page.faults if not re.search(r"make docs writes it anew|should say: ", fault)]
        check_links(page)
        faults += page.faults
    good = sum(page.good for page in pages) + (0 if named else check_index(every, faults.append))
    for fault in faults:
        print("FAILED: " + fault)
    print(f"docs: {run} blocks of commands are run, {not_run} are not")
    print(f"docs: {good} passed, {len(faults)} failed")
    return 1 if faults else 0


sys.exit(main(sys.argv[1:]))
