# SPDX-License-Identifier: MIT
#
# Least temperature of a modelled leaf in each night against a measured surface:
#   awk -F, -v surface=COLUMN -v daily=0|1 -f nights.awk TIMELINE.csv MEASURED.csv
#
# daily=1: the surface's value stands in the 00 UTC row for the whole UTC day (a grass minimum);
# daily=0: hourly values (an infrared thermometer), the night being the dark hours before 14 UTC.
# A night counts as clear when the cloud that was measured in its dark hours is 2.5 okta or less
# on average, or, where no cloud is measured, when the surface's humidity and sun leave no way to
# tell: then all nights count. Only nights with the least air at 5 C or below count.
# Prints kind, nights, bias, RMSE, tab-separated.
function heads(    i) { split("", at); for (i = 1; i <= NF; i++) at[$i] = i }
function column(name) { return (name in at) ? $at[name] : "" }
function tally(kind, off) { n[kind]++; sum[kind] += off; square[kind] += off * off }
function least(list, key, value) { if (!(key in list) || value < list[key]) list[key] = value }
{ sub(/\r$/, "") }
FNR == 1 { part++; heads(); next }
part == 1 { if ($at["plant"] == "bed") leaf_at[$at["time"]] = column("foliage_c"); next }
{
    time = $at["time_utc"]
    day = substr(time, 1, 10)
    hour = substr(time, 12, 2) + 0
    month = substr(time, 6, 2) + 0
    if (month > 4 && month < 10) next
    dark = column("solar_wm2") != "" && column("solar_wm2") <= 0
    value = column(surface)
    if (daily && hour == 0 && value != "") want[day] = value + 0
    if (!daily && dark && hour < 14 && value != "") least(want, day, value + 0)
    if ((daily || (dark && hour < 14)) && time in leaf_at && leaf_at[time] != "") {
        least(leaf, day, leaf_at[time] + 0)
        hours[day]++
    }
    if (column("air_c") != "") least(air, day, column("air_c") + 0)
    if (dark && column("cloud_okta") != "") { okta[day] += column("cloud_okta"); oktas[day]++ }
}
END {
    for (day in want) {
        if (hours[day] < 6 || air[day] > 5) continue
        off = leaf[day] - want[day]
        tally("all nights", off)
        if (oktas[day] >= 4 && okta[day] / oktas[day] <= 2.5) tally("clear nights", off)
    }
    for (kind in n)
        printf "%s\t%d\t%.3f\t%.3f\n", kind, n[kind], sum[kind] / n[kind],
               sqrt(square[kind] / n[kind])
}
