# SPDX-License-Identifier: MIT
#
# Tables of the verification from the notes of the suites (what, achieved, limit), one file a suite.
function base(path) { sub(/.*\//, "", path); sub(/\.tsv$/, "", path); sub(/-/, "/", path); return path }
function size(x) { return x < 0 ? -x : x }
function row(suite, what, unit, factor,    key) {
    key = suite SUBSEP what
    if (!(key in limit)) return
    printf "| %s | %s | %.3g%s | %.3g%s | %s |\n", title[suite] ? title[suite] : suite, what,
           factor * limit[key], unit, factor * got[key], unit,
           got[key] <= limit[key] ? "held" : "**missed**"
}
BEGIN {
    FS = "\t"
    title["physics/test_solver"] = "float"
    title["physics/test_solver_double"] = "double"
    title["truth/test_pots"] = "float"
}
{
    suite = base(FILENAME)
    if (!(suite in checks)) order[++n] = suite
    checks[suite]++
    if ($3 <= 0) next
    key = suite SUBSEP $1
    if (!(key in limit)) { kinds[suite]++; name[suite, kinds[suite]] = $1 }
    share = size($2) / $3
    if (!(key in limit) || share > part[key]) { part[key] = share; got[key] = size($2); limit[key] = $3 }
}
END {
    print "## Limits of the solver\n"
    print "At the production grid and step (8 x 8 cells, half an hour) unless a row says otherwise.\n"
    print "| cells in | what | limit | achieved | |"
    print "|---|---|---|---|---|"
    row("physics/test_solver_double", "heat balance", "", 1)
    row("physics/test_solver", "heat balance", "", 1)
    row("physics/test_solver", "beyond what the pot has met", " K", 1)
    split("pots, 8 x 8|pots, 12 x 12|trunk without ends, 6 rings|trunk, 6 x 12", set, "|")
    for (i = 1; i <= 4; i++) {
        row("truth/test_pots", set[i] ": heat content, mean over all (of the latent heat)", " %", 100)
        row("truth/test_pots", set[i] ": heat content, worst hour (of the latent heat)", " %", 100)
        row("truth/test_pots", set[i] ": time to half frozen", " %", 100)
        row("truth/test_pots", set[i] ": time to half frozen, small or dry", " %", 100)
        row("truth/test_pots", set[i] ": time until thaw leaves 1 % ice", " %", 100)
        row("truth/test_pots", set[i] ": mean temperature, mean over all (K)", " K", 1)
        row("truth/test_pots", set[i] ": growing point, mean (K)", " K", 1)
    }
    row("truth/test_pots", "reference: change of heat on halving its cells (of the latent heat)", " %", 100)
    print "\nThe limits of trunks and of the reference itself are our own. The fine-grid answers were " \
          (again == "yes" ? "solved again for this page and agree with those that the tests carry." \
                          : "solved again for this page and **differ** from those that the tests carry.")
    key = "physics/test_solver" SUBSEP "order in time"
    print "\nObserved order of convergence: in time " sprintf("%.2f", got[key]) \
          ", in space without freezing " sprintf("%.2f", got["physics/test_solver", "order in space"]) \
          ", with freezing " sprintf("%.2f", got["physics/test_reference_pots", "order in space"]) ".\n"
    print "## A glasshouse through a night\n"
    print "| what | limit (our own) | achieved | |"
    print "|---|---|---|---|"
    suite = "truth/test_house_night"
    for (k = 1; k <= kinds[suite]; k++) {
        key = suite SUBSEP name[suite, k]
        printf "| %s | %.3g | %.3g | %s |\n", name[suite, k], limit[key], got[key],
               got[key] <= limit[key] ? "held" : "**missed**"
    }
    print "\n## All suites\n"
    print "Closed forms, benchmarks and tables, row by row in [verification.md](verification.md). Here:"
    print "how many comparisons each suite made, and which came nearest to its limit.\n"
    print "| suite | comparisons | nearest to its limit | limit | achieved |"
    print "|---|---|---|---|---|"
    for (i = 1; i <= n; i++) {
        suite = order[i]; worst = -1; at = ""
        for (k = 1; k <= kinds[suite]; k++) {
            key = suite SUBSEP name[suite, k]
            if (part[key] > worst) { worst = part[key]; at = name[suite, k] }
        }
        key = suite SUBSEP at
        printf "| %s | %d | %s | %.3g | %.3g |\n", suite, checks[suite], at, limit[key], got[key]
    }
    print ""
}
