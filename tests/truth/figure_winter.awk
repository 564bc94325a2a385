# SPDX-License-Identifier: MIT
#
# One winter's daily means (date, air, measured, modelled) as an SVG figure. Colours are told apart
# by the colour-blind (Okabe and Ito 2008), and by dashes; text follows a light or dark page.
function x(i) { return sprintf("%.1f", 50 + 700 * (i - 1) / (n > 1 ? n - 1 : 1)) }
function y(v) { return sprintf("%.1f", 250 - 210 * (v - low) / (high - low)) }
function line(value, class,    i, path, pen) {
    pen = "M"
    for (i = 1; i <= n; i++) {
        if (value[i] == "nan" || value[i] == "-nan") { pen = "M"; continue }
        path = path pen x(i) " " y(value[i]); pen = "L"
    }
    printf "<path class=\"%s\" d=\"%s\"/>\n", class, path
}
BEGIN { FS = "\t"; low = 0; high = 5 }
{
    n++; date[n] = $1; air[n] = $2; soil[n] = $3; model[n] = $4
    for (k = 2; k <= 4; k++) if ($k !~ /nan/) { if ($k < low) low = $k; if ($k > high) high = $k }
}
END {
    low = 5 * int(low / 5 - 0.999); high = 5 * int(high / 5 + 0.999)
    place = title; sub(/-[0-9]+$/, "", place)
    depth = title; sub(/.*-/, "", depth)
    print "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 780 300\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">"
    printf "<title>%s, %s cm: measured and modelled ground temperature</title>\n", place, depth
    print "<style>.paper{fill:#fff}text{fill:#222}.grid{stroke:#ccc;fill:none}.zero{stroke:#555;fill:none}"
    print ".air{stroke:#999;fill:none}.soil{stroke:#0072b2;fill:none;stroke-width:2}"
    print ".model{stroke:#d55e00;fill:none;stroke-width:2;stroke-dasharray:6 3}"
    print "@media(prefers-color-scheme:dark){.paper{fill:#16181c}text{fill:#ddd}.grid{stroke:#3a3d42}.zero{stroke:#aaa}"
    print ".air{stroke:#777}.soil{stroke:#56b4e9}.model{stroke:#e69f00}}</style>"
    print "<rect class=\"paper\" width=\"780\" height=\"300\"/>"
    for (v = low; v <= high; v += 5) {
        printf "<path class=\"%s\" d=\"M50 %sH750\"/><text x=\"44\" y=\"%s\" text-anchor=\"end\">%d</text>\n",
               v == 0 ? "zero" : "grid", y(v), y(v) + 4, v
    }
    for (i = 1; i <= n; i++)
        if (substr(date[i], 9, 2) == "01")
            printf "<path class=\"grid\" d=\"M%s 40V250\"/><text x=\"%s\" y=\"266\">%s</text>\n", x(i), x(i), substr(date[i], 1, 7)
    line(air, "air"); line(soil, "soil"); line(model, "model")
    printf "<text x=\"50\" y=\"22\" font-weight=\"bold\">%s, %s cm, daily means, C</text>\n", place, depth
    print "<path class=\"soil\" d=\"M430 18h30\"/><text x=\"466\" y=\"22\">measured</text>"
    print "<path class=\"model\" d=\"M540 18h30\"/><text x=\"576\" y=\"22\">modelled</text>"
    print "<path class=\"air\" d=\"M650 18h30\"/><text x=\"686\" y=\"22\">air</text>"
    print "</svg>"
}
