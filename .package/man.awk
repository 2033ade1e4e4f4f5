# SPDX-License-Identifier: GPL-3.0-or-later
# awk -v page=ballastry-fit.1 -v version=0.1.0 -f man.awk README.md docs/README.md docs/commands/fit.md
# Writes a page of the documents as a man page (the macros of man(7)). The two READMEs give the
# line for the name: their tables say what each command and document is for.

function escape(s) {
    gsub(/\\\|/, "|", s)
    gsub(/\\/, "\\e", s)
    gsub(/-/, "\\-", s)
    gsub(/'/, "\\(aq", s)
    gsub(/`/, "\\(ga", s)
    gsub(/\^/, "\\(ha", s)
    gsub(/~/, "\\(ti", s)
    return s
}
# [text](where): the text, and the address where it is one.
function unlink_text(s,   before, link, text, to) {
    while (match(s, /!?\[[^]]*\]\([^)]*\)/)) {
        before = substr(s, 1, RSTART - 1); link = substr(s, RSTART, RLENGTH)
        s = substr(s, RSTART + RLENGTH)
        if (substr(link, 1, 1) == "!") { s = before s; continue }
        text = substr(link, 2, index(link, "](") - 2)
        to = substr(link, index(link, "](") + 2); to = substr(to, 1, length(to) - 1)
        gsub(/^(\.\.\/)+/, "", text)
        s = before (to ~ /^https?:/ && text != to ? text " (" to ")" : text) s
    }
    return s
}
# Code stands in bold, what was bold or slanted stays so, and a line never starts with a request.
function inline(s,   out, n, piece, i) {
    s = unlink_text(s)
    gsub(/\*\*`/, "`", s); gsub(/`\*\*/, "`", s)
    n = split(s, piece, "`")
    out = ""
    for (i = 1; i <= n; i++) {
        if (i % 2 == 0 && i < n) { out = out "\\fB" escape(piece[i]) "\\fR"; continue }
        piece[i] = escape(piece[i])
        while (match(piece[i], /\*\*[^*]+\*\*/))
            piece[i] = substr(piece[i], 1, RSTART - 1) "\\fB" substr(piece[i], RSTART + 2, RLENGTH - 4) \
                       "\\fR" substr(piece[i], RSTART + RLENGTH)
        while (match(piece[i], /\*[^* ][^*]*\*/))
            piece[i] = substr(piece[i], 1, RSTART - 1) "\\fI" substr(piece[i], RSTART + 1, RLENGTH - 2) \
                       "\\fR" substr(piece[i], RSTART + RLENGTH)
        out = out piece[i]
    }
    if (out ~ /^[.]/) out = "\\&" out
    return out
}
function cells(line, cell,   n) {
    gsub(/\\\|/, "\001", line)
    sub(/^\| */, "", line); sub(/ *\| *$/, "", line)
    n = split(line, cell, / *\| */)
    for (i = 1; i <= n; i++) gsub(/\001/, "|", cell[i])
    return n
}
function end_code() { if (code) { print ".fi"; print ".RE"; code = 0 } }
function begin_code() { if (!code) { print ".PP"; print ".RS 4"; print ".nf"; code = 1; fresh = 0 } }
function code_line(s) { s = escape(s); print (s ~ /^[.]/ ? "\\&" s : s) }
function heading(macro, s) { end_code(); gsub(/`/, "", s); print macro " \"" escape(unlink_text(s)) "\""; fresh = 1 }

# A table of options needs no heading; any other says what its columns are.
function table_head(line,   cell, n, i, s) {
    n = cells(line, cell)
    if (cell[1] == "option" || cell[1] == "") return
    s = ""
    for (i = 1; i <= n; i++) if (cell[i] != "") s = s (i > 1 ? ", " : "") "\\fI" escape(cell[i]) "\\fR"
    if (!fresh) print ".PP"
    print s ":"
}
function row(line,   cell, n, i, rest) {
    n = cells(line, cell)
    print ".TP"; print inline(cell[1])
    rest = ""
    for (i = 2; i <= n; i++) if (cell[i] != "") rest = rest (rest == "" ? "" : "; ") cell[i]
    print (rest == "" ? "\\&" : inline(rest))
}

function begin_page(title,   synopsis) {
    name = page; sub(/\.[1-9]$/, "", name)
    section = substr(page, length(page))
    synopsis = title
    printf ".\\\" made of %s by .package/man.awk\n", FILENAME
    printf ".TH %s %s \"\" \"ballastry %s\" \"ballastry\"\n", toupper(escape(name)), section, version
    if (about == "") { print "man.awk: no README names " page > "/dev/stderr"; failed = 1; exit 1 }
    printf ".SH NAME\n%s \\- %s\n", escape(name), inline(about)
    if (section == 1) {
        if (name == "ballastry") synopsis = "ballastry COMMAND ... [options]"
        else synopsis = synopsis " [options]"
        gsub(/\[options\] \[options\]/, "[options]", synopsis)
        printf ".SH SYNOPSIS\n.B %s\n", escape(synopsis)
    }
    print ".SH DESCRIPTION"
    if (name == "ballastry") {
        print inline(lead)
        print ".SH COMMANDS"
        for (i = 1; i <= commands; i++) { print ".TP"; print inline(command[i]); print inline(does[i]) }
        print ".SH \"WHAT THE COMMANDS SHARE\""
    }
    fresh = 1
}

BEGIN {
    key = page; sub(/\.[1-9]$/, "", key)
    short = key; sub(/^ballastry-/, "", short)
    if (key == "libballastry") short = "library"
}

# README.md's first paragraph describes the program, and its table each command.
FILENAME == "README.md" {
    if (/^[A-Z]/ && lead == "") leading = 1
    if (/^$/) leading = 0
    if (leading) lead = lead (lead == "" ? "" : " ") $0
    if (/^\| `ballastry /) {
        n = cells($0, cell)
        command[++commands] = cell[1]; does[commands] = cell[2]
        if (index(cell[1] " ", "ballastry " short " ") || index(cell[1], "ballastry " short "`")) about = cell[2]
    }
    if (key == "ballastry") about = "balances hard fishing lures with the hardware they carry anyway"
    next
}
FILENAME == "docs/README.md" {
    if (page !~ /\.1$/ && index($0, "| [" short ".md]") == 1) { n = cells($0, cell); about = cell[2] }
    next
}

/^# / && !begun { begin_page(substr($0, 3)); begun = 1; next }
/^```/ { if (fenced) { fenced = 0; end_code() } else { fenced = 1; begin_code() } next }
fenced { code_line($0); next }
/^    [^ ]/ || (code && /^    /) { begin_code(); code_line(substr($0, 5)); next }
/^$/ { end_code(); listed = 0; para = 0; intable = 0; next }
/^### / { heading(".SS", substr($0, 5)); next }
/^##+ / { sub(/^#+ /, ""); heading(".SH", toupper($0)); next }
/^\|/ {
    end_code()
    if (!intable) { intable = 1; table_head($0); next }
    if ($0 ~ /^\|[ :|-]+$/) next
    row($0); fresh = 0; next
}
/^ *[-*] / { end_code(); sub(/^ *[-*] /, ""); print ".IP \\(bu 2"; print inline($0); listed = 1; para = 1; fresh = 0; next }
/^ *[0-9]+\. / { end_code(); number = $1; sub(/^ *[0-9]+\. /, ""); print ".IP " number " 4"; print inline($0); listed = 1; para = 1; fresh = 0; next }
{
    end_code(); sub(/^ +/, "")
    if (!para && !fresh) print ".PP"
    para = 1; fresh = 0
    print inline($0)
}
END {
    if (failed) exit 1
    end_code()
    print ".SH \"SEE ALSO\""
    if (key == "ballastry") {
        line = ""
        for (i = 1; i <= commands; i++) {
            split(command[i], w, /[ `]+/)
            line = line "\\fBballastry\\-" w[3] "\\fR(1), "
        }
        print line "\\fBballastry\\-format\\fR(5), \\fBballastry\\-catalog\\fR(5)"
    } else print "\\fBballastry\\fR(1)"
    print ".PP"
    print "Documents that are named here as \\fINAME\\fR.md lie in the folder doc/ballastry/docs beside the one that holds the man pages."
}
