# SPDX-License-Identifier: MIT
#
# Columns of a measured file as those of a weather file:  awk -f weather.awk MEASURED.csv
BEGIN {
    FS = OFS = ","
    n = split("time_utc air_c rh_pct wind_ms cloud_okta solar_wm2 lw_down_wm2 " \
              "precipitation_mm snow_cm", from, " ")
    split("time air_c rh_pct wind_ms cloud_pct solar_wm2 longwave_wm2 rain_mm snow_cm", to, " ")
}
{ sub(/\r$/, "") }
NR == 1 {
    for (i = 1; i <= NF; i++) at[$i] = i
    for (i = 1; i <= n; i++) if (from[i] in at) { use[++m] = i; line = line OFS to[i] }
    print substr(line, 2)
    next
}
$at["air_c"] == "" && !begun { next }
{
    begun = 1
    line = ""
    for (j = 1; j <= m; j++) {
        i = use[j]
        value = $at[from[i]]
        if (to[i] == "cloud_pct" && value != "") value = value > 8 ? 100 : value * 12.5
        if (to[i] == "rh_pct" && value > 100) value = 100 # sensors show a little more
        line = line OFS value
    }
    print substr(line, 2)
}
