# SPDX-License-Identifier: MIT
#
# RMSE of the model and of the best rules over all winters and depths (scores.tsv) as an SVG figure:
# one line a winter and depth, a mark a method, told apart by shape and colour.
function x(v) { return 240 + 500 * (v > most ? most : v) / most }
function least(key, part, kind,    best, m) {
    best = ""
    for (m in rule)
        if (rule[m] == kind && (key, m, part) in rmse && (best == "" || rmse[key, m, part] < best))
            best = rmse[key, m, part]
    return best
}
BEGIN {
    FS = "\t"; most = 5
    rule["yesterday's mean air"] = rule["mean air of two days"] = 1
    rule["smoothed air, offset"] = rule["smoothed air, gain"] = rule["ridge regression"] = 2
}
{
    key = $1 ", " $2 " cm"
    if (!(key in seen)) { seen[key] = 1; order[++n] = key }
    rmse[key, $3, $4] = $7
}
END {
    height = 70 + 20 * n
    printf "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 780 %d\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n", height
    print "<title>Errors of the model and of simple rules, ground temperature</title>"
    print "<style>.paper{fill:#fff}text{fill:#222}.grid{stroke:#ccc}.m{fill:#d55e00}.u{fill:none;stroke:#0072b2;stroke-width:2}.f{fill:none;stroke:#009e73;stroke-width:2}"
    print "@media(prefers-color-scheme:dark){.paper{fill:#16181c}text{fill:#ddd}.grid{stroke:#3a3d42}.m{fill:#e69f00}.u{stroke:#56b4e9}.f{stroke:#3fd0a4}}</style>"
    printf "<rect class=\"paper\" width=\"780\" height=\"%d\"/>\n", height
    for (v = 0; v <= most; v++)
        printf "<path class=\"grid\" d=\"M%.0f 40V%d\"/><text x=\"%.0f\" y=\"%d\" text-anchor=\"middle\">%d K</text>\n", x(v), height - 25, x(v), height - 8, v
    print "<circle class=\"m\" cx=\"246\" cy=\"18\" r=\"5\"/><text x=\"256\" y=\"22\">model</text>"
    print "<rect class=\"u\" x=\"320\" y=\"13\" width=\"9\" height=\"9\"/><text x=\"336\" y=\"22\">best rule without tuning</text>"
    print "<path class=\"f\" d=\"M500 23l6 -10l6 10z\"/><text x=\"520\" y=\"22\">best rule fitted (second half)</text>"
    for (i = 1; i <= n; i++) {
        key = order[i]; at = 52 + 20 * (i - 1)
        printf "<path class=\"grid\" d=\"M240 %dH740\"/><text x=\"232\" y=\"%d\" text-anchor=\"end\">%s</text>\n", at, at + 4, key
        u = least(key, "all", 1); f = least(key, "second", 2); m = rmse[key, "model", "all"]
        printf "<rect class=\"u\" x=\"%.1f\" y=\"%.1f\" width=\"9\" height=\"9\"/>\n", x(u) - 4.5, at - 4.5
        printf "<path class=\"f\" d=\"M%.1f %dl6 -10l6 10z\"/>\n", x(f) - 6, at + 5
        printf "<circle class=\"m\" cx=\"%.1f\" cy=\"%d\" r=\"5\"/>\n", x(m), at
    }
    print "</svg>"
}
