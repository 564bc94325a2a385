# SPDX-License-Identifier: MIT
#
# Tables of the validation from the folder `dir` that test_winters.sh filled.
function say(file, line,    n, f) { return (getline line < (dir "/" file)) }
function best(winter, depth, part, untuned,    k, least, m) {
    least = ""
    for (k = 1; k <= rules; k++) {
        m = rule[k]
        if (kind[m] != untuned) continue
        if ((winter, depth, m, part) in rmse && (least == "" || rmse[winter, depth, m, part] < least))
            least = rmse[winter, depth, m, part]
    }
    return least
}
function show(x) { return x == "" || x == "nan" ? "" : sprintf("%.2f", x) }
BEGIN {
    FS = "\t"
    rules = split("yesterday's mean air|mean air of two days|smoothed air, offset|smoothed air, gain|ridge regression", rule, "|")
    kind[rule[1]] = kind[rule[2]] = 1
    kind[rule[3]] = kind[rule[4]] = kind[rule[5]] = 0

    print "## Limits of the validation\n"
    print "| what | limit | achieved | |"
    print "|---|---|---|---|"
    while ((getline line < (dir "/tap")) > 0) {
        held = line ~ /^ok/ ? "held" : "**missed**"
        sub(/^(not )?ok [0-9]+ - /, "", line); sub(/ # TODO.*/, "", line)
        most = line; sub(/.*\(at most /, "", most); sub(/\)$/, "", most)
        sub(/ \(at most [^)]*\)$/, "", line)
        got = line; sub(/.*: /, "", got); sub(/: [^:]*$/, "", line)
        printf "| %s | %s | %s | %s |\n", line, most, got, held
    }

    print "\n## Ground temperatures\n"
    print "Weather as measured, properties from the tables, the column begun once. K; bias is model"
    print "less measured; cold: hours with 1 C or less measured. Rules that fit nothing are scored on"
    print "the whole span, fitted ones (fitted on the first half) on the second.\n"
    print "| winter | cm | hours | bias | RMSE | cold hours | RMSE | best untuned rule | model, 2nd half | best fitted rule | yesterday's probe |"
    print "|---|---|---|---|---|---|---|---|---|---|---|"
    while ((getline < (dir "/scores.tsv")) > 0) {
        key = $1 SUBSEP $2
        if (!(key in seen)) { seen[key] = 1; order[++n] = key }
        rmse[$1, $2, $3, $4] = $7
        if ($3 == "model" && $4 == "all")
            text[key] = sprintf("| %s | %s | %d | %+.2f | %.2f | %d | %s |", $1, $2, $5, $6, $7, $8, show($9))
    }
    for (i = 1; i <= n; i++) {
        split(order[i], p, SUBSEP)
        printf "%s %s | %s | %s | %s |\n", text[order[i]], show(best(p[1], p[2], "all", 1)),
               show(rmse[p[1], p[2], "model", "second"]), show(best(p[1], p[2], "second", 0)),
               show(rmse[p[1], p[2], "the probe of yesterday", "all"])
    }
    print "\n![errors of the model and of rules](truth/errors.svg)\n"

    print "### The band that the model claims\n"
    print "Thirty-two columns of ground, each with a draw of what the tables leave open and of what the"
    print "station did not measure, or not well, the reading of its probe and its depth with it; where"
    print "soil, moisture or turf is not described they are of several. Nine in ten of them lie within"
    print "the band. Limit: the measured temperature lies within in at least 85 % of the hours.\n"
    print "| winter | depth cm | hours | within | at or below 1 C: hours | within | mean width K | RMSE of the middle K | held |"
    print "|---|---|---|---|---|---|---|---|---|"
    while ((getline < (dir "/band.tsv")) > 0)
        printf "| %s | %g | %d | %.1f %% | %d | %s | %.2f | %.2f | %s |\n", $1, 100 * $2, $3,
            100 * $4, $5, ($5 > 0 ? sprintf("%.1f %%", 100 * $6) : "-"), $7, $8, ($4 >= 0.85 ? "yes" : "**no**")
    print "\n### Fitted\n"
    print "Of four soils and three moistures that which fits the first half best, and the mean of the three"
    print "that do, scored on the second. Half a winter cannot tell neighbours apart, so it is the mean that"
    print "is held to the limit.\n"
    print "| winter | cm | soil | RMSE, first half | bias, second | RMSE, second |"
    print "|---|---|---|---|---|---|"
    while ((getline < (dir "/fitted.tsv")) > 0)
        printf "| %s | %s | %s | %.2f | %+.2f | %.2f |\n", $1, $2, $3, $4, $5, $6

    print "\n### With the station's own probe\n"
    print "Hamburg 2018-19 at 10 cm, 22 to 24 hours ahead: the probe pulls the model until the forecast"
    print "begins; the weather of that day is the measured one.\n"
    print "| | bias | RMSE | RMSE, cold |"
    print "|---|---|---|---|"
    while ((getline < (dir "/assimilated.tsv")) > 0)
        printf "| %s | %+.2f | %.2f | %s |\n", $1 == "model" ? "model with its probe" : $1, $4, $5, show($7)

    print "\n### Freezing and thawing\n"
    print "The longest spell below -0.1 C (gaps under a day), UTC.\n"
    print "| winter | cm | measured: hours in all | from | until | modelled: hours | from | until |"
    print "|---|---|---|---|---|---|---|---|"
    while ((getline < (dir "/spells.tsv")) > 0) {
        gsub(/:00:00Z/, "h"); gsub(/T/, " ")
        if ($3 == "measured") before = sprintf("| %s | %s | %s | %s | %s |", $1, $2, $4, $5, $6)
        else if ($4 > 0 || before !~ /\| 0 \|/) printf "%s %s | %s | %s |\n", before, $4, $5, $6
    }

    print "\n## Leaves on cold nights\n"
    print "The least temperature of a modelled leaf in each night of October to April with air at 5 C"
    print "or below, less the least of the measured surface. Clear: 2.5 okta or less on average in the"
    print "dark hours; where no cloud is measured, by the sun of the day before and the day after. Last:"
    print "how far the surface and the leaf lie below the least air of the night, on average.\n"
    print "| surface | nights | how many | bias | RMSE | surface - air | leaf - air |"
    print "|---|---|---|---|---|---|---|"
    while ((getline < (dir "/nights.tsv")) > 0)
        printf "| %s | %s | %d | %+.2f | %.2f | %.1f | %.1f |\n", $1, $2, $3, $4, $5, $6, $7

    print "\n## Figures\n"
    print "Daily means: measured ground (blue), modelled (orange, dashed), air (grey).\n"
    for (i = 1; i <= n; i++) {
        split(order[i], p, SUBSEP)
        if (p[2] == 10 || p[2] == 8)
            printf "![%s, %s cm](truth/%s-%scm.svg)\n", p[1], p[2], p[1], p[2]
    }
    print ""
}
