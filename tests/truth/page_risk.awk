# SPDX-License-Identifier: MIT
#
# Risks as a part of the page:  awk -v dir=FOLDER -f page_risk.awk /dev/null
function held(yes) { return yes ? "yes" : "**no**" }
BEGIN {
    FS = OFS = "\t"
    while ((getline < (dir "/risk.tsv")) > 0) {
        n[$1]++
        row[$1, n[$1]] = $0
    }
    print "\n## Risks told beforehand\n"
    print "Every second afternoon of these winters a forecast of 48 hours is made from the record with error"
    print "of known statistics that grows with lead, and the risk of harm is told for four plants by their"
    print "leaves and eight pots by their roots. **What came is synthetic**: no station has pots, so each is"
    print "a body of 12 x 12 cells under the measured weather, with hidden properties drawn from the tables'"
    print "ranges. The rule that it is held against: act when the forecast's minimum is below the limit.\n"
    print "The forecast's error does not depend on the forecast, as that of any forecast does not once it was"
    print "put right by what came: departures of the record from the normal of month and hour are shrunk by"
    print "1 - s2 / v (the error's variance over theirs) before error is added. Error added to the record as"
    print "it stands makes the coldest forecasts colder than what comes after them: so scored, leaves told a"
    print "risk of 0.61 were harmed in 0.15 of the cases, and 0.31 with this put right. The rest was the"
    print "members' own: their error changed more from hour to hour than weather does and made their nights"
    print "a kelvin too cold. It is smooth since, here as in the module (`judgement/draws.h`).\n"
    print "| part | cases | harmed | Brier score | of the rule | of the plain rate |"
    print "|---|---|---|---|---|---|"
    for (i = 1; i <= n["brier"]; i++) {
        split(row["brier", i], f, FS)
        printf "| %s | %d | %d | %.3f | %.3f | %.3f |\n", f[2], f[3], f[4], f[5], f[6], f[7]
    }
    print "\nAt no more false alarms than the rule's (limit: fewer harms are missed):\n"
    print "| part | rule: missed | false alarms | by risk, from | missed | false alarms | held |"
    print "|---|---|---|---|---|---|---|"
    for (i = 1; i <= n["equal"]; i++) {
        split(row["equal", i], f, FS)
        printf "| %s | %d | %d | %.2f | %d | %d | %s |\n", f[2], f[4], f[5], f[3], f[6], f[7],
            held(f[6] < f[4])
    }
    print "\nCost a case, in units of the loss, of acting from the risk that the plant's `value` sets:\n"
    print "| part | value | cost over loss | rule | by risk | always or never | missed | false alarms |"
    print "|---|---|---|---|---|---|---|---|"
    for (i = 1; i <= n["cost"]; i++) {
        split(row["cost", i], f, FS)
        printf "| %s | %s | %.2f | %.4f | %.4f | %.4f | %d | %d |\n", f[2], f[3], f[4], f[5], f[6],
            f[9], f[7], f[8]
    }
    print "\nReliability: where a risk about the first number was told, harm came in the share of the second.\n"
    print "| part | cases | told | came |"
    print "|---|---|---|---|"
    for (i = 1; i <= n["reliability"]; i++) {
        split(row["reliability", i], f, FS)
        printf "| %s | %d | %.2f | %.2f |\n", f[2], f[3], f[4], f[5]
    }
    print "\nLeaves' risks in the middle are still told somewhat too high. Nothing is counted twice in them: a"
    print "night's own fall is used only without a forecast, and the habit moves the forecast and widens"
    print "nothing.\n"
}
