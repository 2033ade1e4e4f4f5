# SPDX-License-Identifier: GPL-3.0-or-later
# A catalog of n invented parts, the same for the same n: awk -v n=100000 -f many_parts.awk. Sizes lie
# about those of the trade; what weighs goes by the wire model, so that catalog check has no quarrel.
function dice() { seed = (seed * 16807) % 2147483647; return seed / 2147483647 } # Park and Miller 1988
function between(low, high) { return low + (high - low) * dice() }
function mm(value) { return sprintf("\"%.3f mm\"", value) }
function part(kind, more) {
    printf "%s    {\"kind\": \"%s\", \"id\": \"many-%s-%d\", \"name\": \"%s %d\", %s, \"origin\": \"model\", \"source\": \"made up\"}",
        comma, kind, kind, i, kind, i, more
    comma = ",\n"
}
BEGIN {
    seed = 20261125
    sizes = split("14 12 10 8 7 6 5 4 3 2 1", size, " ")
    print "{\n  \"ballastry_catalog\": 1,\n  \"parts\": ["
    for (i = 1; i <= n; i++) {
        kind = dice(); w = between(0.5, 1.2); at = 1 + int(sizes * dice())
        if (kind < 0.4)
            part("hook", sprintf("\"style\": \"treble\", \"size\": \"%s\", \"material\": \"steel\", \"wire\": %s, \"gape\": %s, \"length\": %s, \"bore\": %s, \"shank\": %s",
                size[at], mm(w), mm(7 * w), mm(19 * w), mm(between(1.5, 2)), mm(7 * w)))
        else if (kind < 0.6)
            part("ring", sprintf("\"size\": \"%d\", \"material\": \"stainless\", \"wire\": %s, \"outer\": %s, \"passes\": %s, \"hook_size\": [\"12\", \"1\"]",
                1 + int(5 * dice()), mm(0.6 * w), mm(between(4, 9)), mm(1.21 * w)))
        else if (kind < 0.75)
            part("eye", sprintf("\"style\": \"screw\", \"material\": \"stainless\", \"wire\": %s, \"outer\": %s, \"bore\": %s, \"length\": %s",
                mm(w), mm(4 * w), mm(1.9 * w), mm(between(8, 16))))
        else if (kind < 0.85)
            part("sheet", sprintf("\"material\": \"%s\", \"thickness\": %s, \"thickness_give\": \"0.02 mm\"",
                dice() < 0.5 ? "brass" : "aluminium", mm(between(0.3, 1.2))))
        else if (kind < 0.9)
            part("outline", sprintf("\"form\": \"square\", \"width\": %s, \"lengths\": [\"12 mm\", \"30 mm\"]", mm(between(10, 16))))
        else if (kind < 0.95)
            part("strip", sprintf("\"material\": \"lead\", \"thickness\": %s, \"width\": %s, \"length\": \"100 mm\"", mm(between(0.1, 0.4)), mm(between(4, 10))))
        else
            part("dot", sprintf("\"material\": \"lead\", \"outer\": %s, \"thickness\": %s", mm(between(3, 8)), mm(between(0.1, 0.4))))
    }
    print "\n  ]\n}"
}
