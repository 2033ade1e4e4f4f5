#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Every word that the program prints for people, with its count: from the expected outputs of tests/cli
(JSON left out) and the labels of the expected drawings of tests/sheet.

    tests/words/list.py             words, the most frequent first
    tests/words/list.py --phrases   whole lines, figures as #, with their counts
    tests/words/list.py --ease F..  Flesch reading ease of texts (Flesch 1948: 206.835 - 1.015 words a
                                    sentence - 84.6 syllables a word); a line that does not end in : ; or ,
                                    and whose next line is not indented deeper ends a sentence; figures and
                                    ids of parts are left out
"""
import collections, html, pathlib, re, sys

top = pathlib.Path(__file__).resolve().parents[2]


def printed():
    for path in sorted((top / "tests/cli/expected").iterdir()):
        text = path.read_text(errors="replace")
        if not text.lstrip().startswith("{"):
            yield text
    for path in sorted((top / "tests/sheet/golden").rglob("*.svg")):
        yield "\n".join(html.unescape(re.sub(r"<[^>]+>", "", t))
                        for t in re.findall(r"<(?:text|tspan|title)[^>]*>[^<]*", path.read_text()))


def words_of(text):
    """Words: not ids, figures or file names."""
    for token in text.split():
        token = token.strip(".,;:!?()[]'\"*|")
        if re.fullmatch(r"[A-Za-z]+(?:['-][A-Za-z]+)*", token):
            yield token


def syllables(word):
    groups = re.findall(r"[aeiouy]+", word.lower())
    silent = word.lower().endswith("e") and not word.lower().endswith("le") and len(groups) > 1
    return max(1, len(groups) - silent)


def ease(text):
    lines = [line for line in text.split("\n") if line.strip()]
    sentences = 0
    for line, after in zip(lines, lines[1:] + [""]):
        deeper = len(after) - len(after.lstrip()) > len(line) - len(line.lstrip())
        sentences += len(re.findall(r"[.;:!?](?=\s)", line))
        sentences += not (line.rstrip()[-1] in ",:;" or deeper and after)
    words = list(words_of(text))
    return (206.835 - 1.015 * len(words) / max(1, sentences)
            - 84.6 * sum(map(syllables, words)) / len(words), len(words), sentences)


def main():
    if sys.argv[1:2] == ["--ease"]:
        for name in sys.argv[2:]:
            print("%s: Flesch reading ease %.0f (%d words, %d sentences)"
                  % ((name,) + ease(pathlib.Path(name).read_text())))
        return
    count = collections.Counter()
    for text in printed():
        if sys.argv[1:2] == ["--phrases"]:
            count.update(re.sub(r"[-+]?\d[\d.]*", "#", line.strip()) for line in text.split("\n")
                         if line.strip())
        else:
            count.update(w.lower() for w in words_of(text))
    for word, n in sorted(count.items(), key=lambda one: (-one[1], one[0])):
        print("%6d  %s" % (n, word))


main()
