#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Chances that a page tells in a sentence, against the first rig that `fit` finds: shell blocks hold what
they print (pages.py), sentences are held here."""
import json, math, os, pathlib, subprocess, sys

top = pathlib.Path(__file__).resolve().parents[2]
prog = os.path.realpath(os.environ["BALLASTRY"])
failed = 0


def chances(*words):
    """In 100: right first time, after one test, after two, of the first rig."""
    done = subprocess.run([prog, "fit", *words, "--rigs", "1", "--json"], cwd=top, capture_output=True, text=True)
    plan = json.loads(done.stdout)["rigs"][0]["reserve"]["chance_after_tests"]
    return [math.floor(100 * share + 0.5) for share in plan]


def says(page, sentence):
    global failed
    text = " ".join((top / page).read_text().split())
    if sentence not in text:
        failed += 1
        print(f"FAILED: {page} should say: {sentence}")


light, paper = chances("examples/light-by-design.json"), chances("examples/light-by-design.json", "--on-paper")
larch, board = chances("examples/larch-minnow.json", "--on-paper"), chances("examples/board-lip.json", "--on-paper")
page = "docs/trim.md"
says(page, f"the nearest on paper is neutral and goes from {paper[0]} to {paper[2]} of 100 in two tests")
says(page, f"the surest is light by design, and goes from {light[0]} to {light[2]} (")
says(page, f"{larch[0]} in 100 are right first time, {larch[1]} after one test, {larch[2]} after two.")
says(page, f"`examples/board-lip.json`, {board[0]}, {board[1]}, {board[2]} (")
print(f"figures: {4 - failed} passed, {failed} failed")
sys.exit(failed > 0)
