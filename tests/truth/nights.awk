# SPDX-License-Identifier: MIT
#
# Least temperature of a modelled leaf in each night against a measured surface:
#   awk -F, -v surface=COLUMN -v daily=0|1 -f nights.awk TIMELINE.csv MEASURED.csv
#
# daily=1: the surface's value stands in the 00 UTC row for the whole UTC day (a grass minimum);
# daily=0: hourly values (an infrared thermometer), the night being the dark hours before 14 UTC.
# Only nights of October to April with the least air at 5 C or below count. A night is clear when the
# cloud measured in its dark hours is 2.5 okta or less on average; where no cloud is measured, when the
# sun of the day before and of the day after each reach 85 % of the best day within a fortnight.
# Prints kind, nights, bias, RMSE, and how far surface and leaf lie below the air; tab-separated.
function heads(    i) { split("", at); for (i = 1; i <= NF; i++) at[$i] = i }
function column(name) { return (name in at) ? $at[name] : "" }
function least(list, key, value) { if (!(key in list) || value < list[key]) list[key] = value }
function tally(kind, day) {
    n[kind]++
    sum[kind] += leaf[day] - want[day]
    square[kind] += (leaf[day] - want[day]) ^ 2
    chill[kind] += want[day] - night_air[day]
}
function sunny(i,    k, best) {
    for (k = i - 15; k <= i + 15; k++) if (sun[order[k]] > best) best = sun[order[k]]
    return sun[order[i]] >= 0.85 * best
}
function is_clear(i,    day) {
    day = order[i]
    if (oktas[day] >= 4) return okta[day] / oktas[day] <= 2.5
    return !clouds && i > 1 && sunny(i - 1) && sunny(i)
}
{ sub(/\r$/, "") }
FNR == 1 { part++; heads(); clouds = ("cloud_okta" in at); next }
part == 1 { if ($at["plant"] == "bed") leaf_at[$at["time"]] = column("foliage_c"); next }
{
    time = $at["time_utc"]
    day = substr(time, 1, 10)
    hour = substr(time, 12, 2) + 0
    if (!(day in seen)) { seen[day] = 1; order[++days] = day }
    sun[day] += column("solar_wm2")
    month = substr(time, 6, 2) + 0
    if (month > 4 && month < 10) next
    dark = column("solar_wm2") != "" && column("solar_wm2") <= 0
    counts = daily || (dark && hour < 14)
    value = column(surface)
    if (daily && hour == 0 && value != "") want[day] = value + 0
    if (!daily && counts && value != "") least(want, day, value + 0)
    if (counts && time in leaf_at && leaf_at[time] != "") {
        least(leaf, day, leaf_at[time] + 0)
        hours[day]++
    }
    if (column("air_c") != "") least(air, day, column("air_c") + 0)
    if (counts && column("air_c") != "") least(night_air, day, column("air_c") + 0)
    if (dark && column("cloud_okta") != "") { okta[day] += column("cloud_okta"); oktas[day]++ }
}
END {
    for (i = 1; i <= days; i++) {
        day = order[i]
        if (!(day in want) || hours[day] < 6 || air[day] > 5) continue
        tally("all nights", day)
        if (!is_clear(i)) continue
        tally("clear nights", day)
        if (!daily)
            tally("clear nights, " (substr(day, 6, 2) + 0 < 7 ? "January to April" : "October to December"), day)
    }
    for (kind in n)
        printf "%s\t%d\t%.3f\t%.3f\t%.2f\t%.2f\n", kind, n[kind], sum[kind] / n[kind],
               sqrt(square[kind] / n[kind]), chill[kind] / n[kind], (chill[kind] + sum[kind]) / n[kind]
}
