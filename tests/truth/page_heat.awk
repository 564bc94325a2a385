# SPDX-License-Identifier: MIT
#
# Guided heat as a part of the page:  awk -v dir=FOLDER -f page_heat.awk /dev/null
BEGIN {
    print "\n## Heat\n"
    print "The cold months of these winters with a house of single glass (6 m2 of floor, 18 m2 of glazing,"
    print "3000 W) that is to keep 5 C and may be set back to -5 C, one plant in it, guided anew every few"
    print "hours under a forecast that is the record itself, or the record 3 K too warm. It is held"
    print "against the plain thermostat whose constant set point holds the plant's lowest margin just as"
    print "well. The house and its plants are the model's: no station has them.\n"
    print "| winter | plant | forecast | lowest margin K | kWh guided | plain set point C | kWh plain | saved | kWh at 5 C |"
    print "|---|---|---|---|---|---|---|---|---|"
    FS = OFS = "\t"
    while ((getline < (dir "/heat.tsv")) > 0) {
        if ($1 == "store") { more += $2; back += $3; continue }
        printf "| %s | %s | %s | %.2f | %.0f | %.1f | %.0f | %.0f %% | %.0f |\n", $2, $3, $4, $5, $6,
            $7, $8, ($8 > 0 ? 100 * (1 - $6 / $8) : 0), $9
        guided[$4] += $6; plain[$4] += $8; harmed[$4] += $5 < 0; n[$4]++
    }
    for (f in n)
        total[++m] = sprintf("Forecast %s: %.0f kWh against %.0f, %.0f %% saved; limits passed in %d of %d.", \
            f, guided[f], plain[f], 100 * (1 - guided[f] / plain[f]), harmed[f], n[f])
    print ""
    if (total[1] > total[2]) { t = total[1]; total[1] = total[2]; total[2] = t }
    for (i = 1; i <= m; i++) print total[i]
    printf "\nHeat for cheap hours: an hour of 3 K more takes %.2f kWh and saves %.2f kWh in the six hours", \
        more, back
    printf "\nafter it, %.0f %%. Cheap hours would have to cost less than that share of the dear ones.\n", \
        100 * back / more
}
