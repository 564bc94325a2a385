/* SPDX-License-Identifier: MIT */
#include "garden/keys.h"

#include "garden/garden.h"
#include "garden/words.h"

/*
 * One row a key. The macros only shorten what every row of a type repeats; `IN` is the struct of
 * the object at hand. Ranges are wide enough for every real garden and narrow enough to catch a
 * slip of the unit.
 */
#define AT(field) .offset = offsetof(IN, field)
#define NUMBER(low, high, of_unit, of_subject, of_tail)                                            \
    .type = OW_KEY_NUMBER, .min = low, .max = high, .unit = of_unit, .subject = of_subject,        \
    .tail = of_tail
#define WHOLE(low, high, of_unit, of_subject, of_tail)                                             \
    .type = OW_KEY_INTEGER, .min = low, .max = high, .unit = of_unit, .subject = of_subject,       \
    .tail = of_tail
#define TEXT(most) .type = OW_KEY_TEXT, .min = 1, .max = most
#define TOPIC .type = OW_KEY_TOPIC, .min = 1, .max = 500
#define POINTER .type = OW_KEY_POINTER, .min = 0, .max = 200
#define NAME(list) .type = OW_KEY_NAME, .names = list
#define OBJECT(of) .type = OW_KEY_OBJECT, .object = of
#define LIST(of, least, most, number)                                                              \
    .type = OW_KEY_LIST, .object = of, .min = least, .max = most,                                  \
    .count_offset = offsetof(IN, number)
#define REF(of) .type = OW_KEY_REF, .group = of
#define REFS(of, most) .type = OW_KEY_REFS, .group = of, .min = 0, .max = most
#define ID(of)                                                                                     \
    .name = "id", AT(id), .type = OW_KEY_ID, .group = of, .min = 1, .max = 64, .required = true
#define PEOPLES_NAME                                                                               \
    {.name = "name", AT(name), TEXT(200), .about = "What people call it; the id when left out"}
#define DEFAULT(text) .fallback = text
#define REQUIRED .required = true
#define ONLY(bits) .kinds = (bits)
#define BIT(kind) (1u << (kind))
#define OBJECT_OF(of_name, of_struct, rows)                                                        \
    .name = of_name, .size = sizeof(of_struct), .keys = rows,                                      \
    .key_count = sizeof rows / sizeof rows[0]

/* ---- site ------------------------------------------------------------------------------------ */

#define IN ow_garden
static const ow_key site_keys[] = {
    {.name = "latitude_deg", AT(site.latitude_deg), REQUIRED,
     NUMBER(-90, 90, "degrees", "a latitude is", ""),
     .about = "North of the equator; south is negative"},
    {.name = "longitude_deg", AT(site.longitude_deg), REQUIRED,
     NUMBER(-180, 180, "degrees", "a longitude is", ""),
     .about = "East of Greenwich; west is negative"},
    {.name = "elevation_m", AT(site.elevation_m), DEFAULT("0"),
     NUMBER(-430, 6000, "m", "a garden lies", "above the sea"), .about = "Height above the sea"},
    {.name = "time_zone", AT(time_zone), TEXT(64), DEFAULT("UTC"),
     .about = "Name in the time zone database, such as Europe/Paris"},
    {.name = "design_c", AT(design_c), NUMBER(-40, 15, "C", "a design temperature is", ""),
     .about = "Coldest night that heaters are to be large enough for"},
};
#undef IN
static const ow_object site_object = {
    OBJECT_OF("site", ow_garden, site_keys), .about = "Where the garden lies."};

/* ---- broker ---------------------------------------------------------------------------------- */

#define IN ow_broker
static const ow_key broker_keys[] = {
    {.name = "host", AT(host), TEXT(255), DEFAULT("127.0.0.1"), .about = "Name or address"},
    {.name = "port", AT(port), WHOLE(1, 65535, "", "a port is", ""), DEFAULT("1883"),
     .about = "TCP port"},
    {.name = "user", AT(user), TEXT(255), .about = "User name"},
    {.name = "password_file", AT(password_file), TEXT(4000),
     .about = "File with the password in its first line, readable by its owner only"},
    {.name = "ca_file", AT(ca_file), TEXT(4000),
     .about = "Certificates that the broker's is checked against; asks for TLS"},
    {.name = "cert_file", AT(cert_file), TEXT(4000), .about = "Our own certificate"},
    {.name = "key_file", AT(key_file), TEXT(4000), .about = "The key of our own certificate"},
};
#undef IN
static const ow_object broker_object = {
    OBJECT_OF("broker", ow_broker, broker_keys), .given_flag = true,
    .about = "The MQTT broker that `run` joins."};

/* ---- readings -------------------------------------------------------------------------------- */

#define TEMPERATURES                                                                               \
    (BIT(OW_MEASURES_AIR) | BIT(OW_MEASURES_GROUND) | BIT(OW_MEASURES_ROOT_BALL) |                 \
     BIT(OW_MEASURES_TRUNK))
#define OF_A_PLANT (BIT(OW_MEASURES_ROOT_BALL) | BIT(OW_MEASURES_TRUNK))
#define UNIT_OF(bits, list, first)                                                                 \
    .name = "unit", AT(unit), NAME(list), .first_value = first, ONLY(bits),                        \
    .about = "Unit in which the number comes"

#define IN ow_reading
static const ow_key reading_keys[] = {
    {ID(OW_GROUP_READING), .about = "Its id, unique among readings"},
    {.name = "measures", AT(measures), NAME(ow_measures_names), .selects = true, REQUIRED,
     .about = "What is measured"},
    {.name = "place", AT(place), REF(OW_GROUP_PLACE), ONLY(~OF_A_PLANT),
     .about = "The place it is measured at; the whole garden when left out"},
    {.name = "plant", AT(plant), REF(OW_GROUP_PLANT), REQUIRED, ONLY(OF_A_PLANT),
     .about = "The plant it is measured in"},
    {.name = "topic", AT(topic), TOPIC, REQUIRED, .about = "Topic it comes on, no wildcards"},
    {.name = "pointer", AT(pointer), POINTER, DEFAULT(""),
     .about = "JSON pointer to the value in the payload; empty takes the whole payload"},
    {UNIT_OF(TEMPERATURES, ow_temperature_units, OW_UNIT_C), DEFAULT("C")},
    {UNIT_OF(BIT(OW_MEASURES_HUMIDITY), ow_share_units, OW_UNIT_PERCENT), DEFAULT("%")},
    {UNIT_OF(BIT(OW_MEASURES_CLOUD), ow_cloud_units, OW_UNIT_PERCENT), DEFAULT("%")},
    {UNIT_OF(BIT(OW_MEASURES_WIND), ow_speed_units, OW_UNIT_M_S), DEFAULT("m/s")},
    {UNIT_OF(BIT(OW_MEASURES_SOLAR), ow_radiation_units, OW_UNIT_W_M2), DEFAULT("W/m2")},
    {UNIT_OF(BIT(OW_MEASURES_RAIN), ow_rain_units, OW_UNIT_MM), DEFAULT("mm")},
    {UNIT_OF(BIT(OW_MEASURES_SNOW), ow_depth_units, OW_UNIT_MM), DEFAULT("cm")},
    {UNIT_OF(BIT(OW_MEASURES_POWER), ow_power_units, OW_UNIT_W), DEFAULT("W")},
    {.name = "open", AT(open), TEXT(200), REQUIRED, ONLY(BIT(OW_MEASURES_CONTACT)),
     .about = "Payload that means open"},
    {.name = "shut", AT(shut), TEXT(200), REQUIRED, ONLY(BIT(OW_MEASURES_CONTACT)),
     .about = "Payload that means shut"},
    {.name = "stale_after_min", AT(stale_after_min), DEFAULT("30"),
     NUMBER(1, 1440, "minutes", "a reading may be", "old"),
     .about = "Age after which it no longer counts"},
};
#undef IN
static const ow_object reading_object = {
    OBJECT_OF("reading", ow_reading, reading_keys), .about = "One thing measured, over MQTT."};

/* ---- forecast -------------------------------------------------------------------------------- */

#define IN ow_forecast_source
#define IN_AN_HOUR(what) POINTER, .about = "JSON pointer within one hour to its " what
static const ow_key forecast_keys[] = {
    {.name = "topic", AT(topic), TOPIC, REQUIRED, .about = "Topic it comes on, no wildcards"},
    {.name = "list", AT(list), POINTER, DEFAULT(""), .about = "JSON pointer to the list of hours"},
    {.name = "time", AT(time), IN_AN_HOUR("time (ISO 8601, or seconds since 1970)"), REQUIRED},
    {.name = "air", AT(air), IN_AN_HOUR("air temperature"), REQUIRED},
    {.name = "air_low", AT(air_low), IN_AN_HOUR("air temperature that 1 in 10 stays below")},
    {.name = "air_high", AT(air_high), IN_AN_HOUR("air temperature that 1 in 10 stays above")},
    {.name = "wind", AT(wind), IN_AN_HOUR("wind")},
    {.name = "humidity", AT(humidity), IN_AN_HOUR("relative humidity, %")},
    {.name = "cloud", AT(cloud), IN_AN_HOUR("cloud")},
    {.name = "rain", AT(rain), IN_AN_HOUR("rain in the hours since the one before")},
    {.name = "unit", AT(unit), NAME(ow_temperature_units), DEFAULT("C"),
     .about = "Unit of the air temperature"},
    {.name = "wind_unit", AT(wind_unit), NAME(ow_speed_units), .first_value = OW_UNIT_M_S,
     DEFAULT("m/s"), .about = "Unit of the wind"},
    {.name = "cloud_unit", AT(cloud_unit), NAME(ow_cloud_units), .first_value = OW_UNIT_PERCENT,
     DEFAULT("%"), .about = "Unit of the cloud"},
    {.name = "rain_unit", AT(rain_unit), NAME(ow_rain_units), .first_value = OW_UNIT_MM,
     DEFAULT("mm"), .about = "Unit of the rain"},
    {.name = "stale_after_h", AT(stale_after_h), DEFAULT("12"),
     NUMBER(1, 72, "hours", "a forecast may be", "old"),
     .about = "Age after which it no longer counts"},
};
#undef IN
static const ow_object forecast_object = {
    OBJECT_OF("forecast", ow_forecast_source, forecast_keys), .given_flag = true,
    .about = "Where the weather of the coming days comes from, over MQTT."};

/* ---- places ---------------------------------------------------------------------------------- */

#define GLASS ONLY(BIT(OW_PLACE_GLASSHOUSE))
#define IN ow_place
static const ow_key place_keys[] = {
    {ID(OW_GROUP_PLACE), .about = "Its id"},
    PEOPLES_NAME,
    {.name = "kind", AT(kind), NAME(ow_place_kind_names), .selects = true, REQUIRED,
     .about = "What kind of place"},
    {.name = "faces_deg", AT(faces_deg), REQUIRED, ONLY(BIT(OW_PLACE_WALL)),
     NUMBER(0, 360, "degrees", "a wall faces", "clockwise from north"),
     .about = "The way the wall faces, clockwise from north: 90 is east, 180 south"},
    {.name = "air_c", AT(air_c), REQUIRED, ONLY(BIT(OW_PLACE_INDOORS)),
     NUMBER(-10, 35, "C", "air indoors is", ""), .about = "Its steady air temperature in winter"},
    {.name = "light", AT(light), NAME(ow_light_names), DEFAULT("dim"),
     ONLY(BIT(OW_PLACE_INDOORS)), .about = "How much daylight there is"},
    {.name = "room_for", AT(room_for), WHOLE(0, 1000, "plants", "a place has room for", ""),
     DEFAULT("1000"), .about = "How many plants it has room for; the default is no limit"},
    {.name = "floor_m2", AT(floor_m2), REQUIRED, GLASS,
     NUMBER(0.2, 2000, "m2", "a glasshouse floor is", ""), .about = "Area of the floor"},
    {.name = "glazing_m2", AT(glazing_m2), REQUIRED, GLASS,
     NUMBER(0.5, 5000, "m2", "the glazing is", ""), .about = "Area of all panes, roof and sides"},
    {.name = "glazing", AT(glazing), NAME(ow_glazing_names), DEFAULT("single glass"), GLASS,
     .about = "What the panes are"},
    {.name = "air_changes_per_h", AT(air_changes_per_h), DEFAULT("1"), GLASS,
     NUMBER(0.05, 60, "an hour", "the air changes", ""),
     .about = "How often its air is renewed through the gaps, vents shut"},
    {.name = "volume_m3", AT(volume_m3), GLASS, NUMBER(0.1, 10000, "m3", "a glasshouse holds", ""),
     .about = "Its volume of air; from the floor and a usual height when left out"},
    {.name = "film_w_m2k", AT(film_w_m2k),
     NUMBER(0.5, 200, "W/m2K", "a surface coefficient is", ""),
     .about = "Expert: one surface coefficient for side, top and a raised base, sky and sun in it"},
    {.name = "ground_c", AT(ground_c), NUMBER(-30, 40, "C", "ground is", ""),
     .about = "Expert: a fixed temperature of the ground under the pots"},
};
#undef IN
static const ow_object place_object = {
    OBJECT_OF("place", ow_place, place_keys), .about = "Where a plant may stand."};

/* ---- covers ---------------------------------------------------------------------------------- */

#define IN ow_cover
static const ow_key cover_keys[] = {
    {ID(OW_GROUP_COVER), .about = "Its id"},
    PEOPLES_NAME,
    {.name = "kind", AT(kind), NAME(ow_cover_kind_names), REQUIRED, .about = "What it is made of"},
    {.name = "count", AT(count), WHOLE(1, 1000, "", "a stock of covers is", ""), DEFAULT("1"),
     .about = "How many there are"},
    {.name = "on", AT(on_word), NAME(ow_cover_on_names),
     .about = "What it goes on; what is usual for the kind when left out"},
    {.name = "r_m2k_w", AT(r_m2k_w), NUMBER(0.005, 10, "m2K/W", "a cover resists", ""),
     .about = "Expert: its measured resistance"},
    {.name = "wind_max_ms", AT(wind_max_ms), NUMBER(2, 60, "m/s", "a cover holds in wind of", ""),
     .about = "Wind above which it counts as blown off; the kind's own when left out"},
};
#undef IN
static const ow_object cover_object = {
    OBJECT_OF("cover", ow_cover, cover_keys), .about = "Covers of one sort, a counted stock."};

/* ---- pot, bed, trunk ------------------------------------------------------------------------- */

#define CONDUCTIVITY NUMBER(0.01, 5, "W/mK", "a medium conducts", "")
#define HEAT_CAPACITY NUMBER(1e5, 6e6, "J/m3K", "a medium's heat capacity is", "")
#define IN ow_measured_medium
static const ow_key medium_keys[] = {
    {.name = "thawed_w_mk", AT(medium.thawed_w_mk), REQUIRED, CONDUCTIVITY,
     .about = "Conductivity, all water liquid"},
    {.name = "frozen_w_mk", AT(medium.frozen_w_mk), REQUIRED, CONDUCTIVITY,
     .about = "Conductivity, all water ice; not below the thawed one"},
    {.name = "thawed_j_m3k", AT(medium.thawed_j_m3k), REQUIRED, HEAT_CAPACITY,
     .about = "Heat capacity, all water liquid"},
    {.name = "frozen_j_m3k", AT(medium.frozen_j_m3k), REQUIRED, HEAT_CAPACITY,
     .about = "Heat capacity, all water ice"},
    {.name = "water_fraction", AT(water_fraction), NUMBER(0.005, 1, "", "a share of water is", ""),
     .about = "Water by volume; this or latent_j_m3"},
    {.name = "latent_j_m3", AT(medium.latent_j_m3),
     NUMBER(1e6, 3.4e8, "J/m3", "the heat of freezing is", ""),
     .about = "Heat of freezing of all its water; this or water_fraction"},
    {.name = "freezing_c", AT(medium.freezing_c), REQUIRED,
     NUMBER(-3, -0.001, "C", "a medium begins to freeze at", ""),
     .about = "Where ice begins: the liquid share is 1 above"},
    {.name = "curve_exponent", AT(medium.curve_exponent), REQUIRED,
     NUMBER(0.2, 3, "", "the exponent is", ""),
     .about = "Below it the liquid share is (T/freezing_c)^-curve_exponent"},
};
#undef IN
static const ow_object medium_object = {
    OBJECT_OF("measured medium", ow_measured_medium, medium_keys),
    .about = "Expert: the measured numbers of a medium in place of its name."};

/* An object of one number; the struct is the number. */
typedef struct bare_number {
    double r_m2k_w;
} bare_number;
#define IN bare_number
static const ow_key resistance_keys[] = {
    {.name = "r_m2k_w", AT(r_m2k_w), REQUIRED, NUMBER(0, 10, "m2K/W", "a resistance is", ""),
     .about = "Resistance to heat"},
};
#undef IN
static const ow_object wall_object = {
    OBJECT_OF("measured wall", bare_number, resistance_keys),
    .about = "Expert: the measured resistance of a pot's wall in place of its name."};
static const ow_object base_object = {
    OBJECT_OF("measured contact", bare_number, resistance_keys),
    .about = "Expert: the measured contact resistance below a pot, beside its wall's own."};

#define MEDIUM(usual)                                                                              \
    {.name = "medium", AT(soil.kind), .type = OW_KEY_NAME_OR_OBJECT, .names = ow_soil_names,       \
     .object = &medium_object, .object_offset = offsetof(IN, soil.measured), DEFAULT(usual),       \
     .about = "What the roots grow in, by name or by measured numbers"}
#define MOISTURE                                                                                   \
    {.name = "moisture", AT(soil.moisture), NAME(ow_moisture_names), DEFAULT("moist"),             \
     .about = "How wet it is kept in winter; standing: water stands in it"}

#define FACTOR NUMBER(0.2, 5, "", "a resistance differs by a factor of", "")
#define TOP_FACTOR                                                                                 \
    {.name = "top_factor", AT(top_factor), FACTOR,                                                 \
     .about = "Expert: resistance of its top, all that covers it and the air with it, over that " \
              "of the tables; see docs/fit.md"}

#define IN ow_pot
static const ow_key pot_keys[] = {
    {.name = "diameter_mm", AT(diameter_mm), REQUIRED, NUMBER(40, 1500, "mm", "a pot is", "wide"),
     .about = "Outside, at half height"},
    {.name = "depth_mm", AT(depth_mm), REQUIRED, NUMBER(40, 1500, "mm", "a pot is", "deep"),
     .about = "Of the root ball"},
    {.name = "wall", AT(wall), .type = OW_KEY_NAME_OR_OBJECT, .names = ow_wall_names,
     .object = &wall_object, .object_offset = offsetof(ow_pot, wall_r_m2k_w), DEFAULT("plastic"),
     .about = "What the pot is made of"},
    MEDIUM("peat-free mix"),
    MOISTURE,
    {.name = "stands_on", AT(stands_on), .type = OW_KEY_NAME_OR_OBJECT, .names = ow_base_names,
     .object = &base_object, .object_offset = offsetof(ow_pot, base_r_m2k_w), DEFAULT("paving"),
     .about = "What it stands on; raised: on feet, air below"},
    {.name = "tray_mm", AT(tray_mm), NUMBER(5, 300, "mm", "water in a tray is", "deep"),
     .about = "Depth of water, with stands_on \"tray of water\" only"},
    {.name = "shielded_share", AT(shielded_share), DEFAULT("0"),
     NUMBER(0, 1, "", "a share is", ""), .about = "Share of the side that pots round it shield"},
    {.name = "side_factor", AT(side_factor), FACTOR,
     .about = "Expert: resistance of its side, wall, covers and air together, over that of the "
              "tables; see docs/fit.md"},
    TOP_FACTOR,
};
#undef IN
static const ow_object pot_object = {OBJECT_OF("pot", ow_pot, pot_keys), .given_flag = true,
                                     .about = "The pot that a plant stands in."};

#define IN ow_bed
static const ow_key bed_keys[] = {
    MEDIUM("loam"),
    MOISTURE,
    TOP_FACTOR,
    {.name = "mulch_mm", AT(mulch_mm), DEFAULT("0"), NUMBER(0, 500, "mm", "mulch is", "deep"),
     .about = "Loose mulch that lies there all winter"},
    {.name = "grass", AT(grass), .type = OW_KEY_YES_NO, DEFAULT("false"),
     .about = "Short grass all over it, as on a lawn or a meadow"},
    {.name = "organ_depth_mm", AT(organ_depth_mm), DEFAULT("100"),
     NUMBER(0, 1000, "mm", "bulbs, tubers and rhizomes lie", "deep"),
     .about = "Depth of the bulb, tuber or rhizome below the soil's top"},
};
#undef IN
static const ow_object bed_object = {OBJECT_OF("bed", ow_bed, bed_keys), .given_flag = true,
                                     .about = "The bed that a plant stands in."};

#define IN ow_trunk
static const ow_key trunk_keys[] = {
    {.name = "diameter_mm", AT(diameter_mm), REQUIRED,
     NUMBER(20, 1500, "mm", "a trunk is", "thick"), .about = "Over the bark or the fibres"},
    {.name = "height_mm", AT(height_mm), REQUIRED, NUMBER(50, 20000, "mm", "a trunk is", "high"),
     .about = "From the ground to the crown"},
    {.name = "growing_point_mm", AT(growing_point_mm), DEFAULT("40"),
     NUMBER(0, 500, "mm", "a growing point sits", "below the crown"),
     .about = "Depth of the growing point below the crown"},
};
#undef IN
static const ow_object trunk_object = {OBJECT_OF("trunk", ow_trunk, trunk_keys),
                                       .given_flag = true, .about = "A plant's trunk."};

/* ---- limits ---------------------------------------------------------------------------------- */

#define COLD NUMBER(-60, 15, "C", "a limit of cold is", "")
#define IN ow_own_limit
static const ow_key limit_keys[] = {
    {.name = "damaged_c", AT(damaged_c), REQUIRED, COLD, .about = "Harm begins below it"},
    {.name = "killed_c", AT(killed_c), COLD,
     .about = "The part dies below it; 2 K below damaged_c when left out"},
    {.name = "of", AT(of), NAME(ow_limit_of_names),
     .about = "A temperature of the tissue itself, or an air minimum; left out: of air for foliage "
              "and buds, of tissue for the rest"},
    {.name = "minutes", AT(minutes), DEFAULT("30"), NUMBER(1, 4320, "minutes", "it must last", ""),
     .about = "How long without a break"},
};
#undef IN
static const ow_object limit_object = {OBJECT_OF("limit", ow_own_limit, limit_keys),
                                       .given_flag = true,
                                       .about = "How much cold one part stands, hardened."};

#define DAYS NUMBER(0.1, 365, "days", "a plant stands frozen roots for", "")
#define IN ow_own_drought
static const ow_key drought_keys[] = {
    {.name = "suffers_days", AT(suffers_days), REQUIRED, DAYS,
     .about = "Days with the roots frozen through until it suffers"},
    {.name = "may_die_days", AT(may_die_days), REQUIRED, DAYS, .about = "Days until it may die"},
};
#undef IN
static const ow_object drought_object = {
    OBJECT_OF("drought", ow_own_drought, drought_keys), .given_flag = true,
    .about = "How long it stands without water from its roots, frozen through."};

#define IN ow_own_limits
#define PART(part_name, part_value)                                                                \
    {.name = part_name, AT(part[part_value]), OBJECT(&limit_object),                               \
     .about = "Cold that the " part_name " stands"}
static const ow_key limits_keys[] = {
    PART("foliage", OW_FOLIAGE),
    PART("buds", OW_BUDS),
    PART("roots", OW_ROOTS),
    PART("growing point", OW_GROWING_POINT),
    PART("storage organ", OW_STORAGE_ORGAN),
    {.name = "drought", AT(drought), OBJECT(&drought_object), .about = "Days of frozen roots"},
};
#undef IN
static const ow_object limits_object = {OBJECT_OF("limits", ow_own_limits, limits_keys),
                                        .given_flag = true,
                                        .about = "What this plant stands, over its taxon."};

/* ---- plants ---------------------------------------------------------------------------------- */

#define IN ow_plant
static const ow_key plant_keys[] = {
    {ID(OW_GROUP_PLANT), .about = "Its id"},
    PEOPLES_NAME,
    {.name = "taxon", AT(taxon), TEXT(200),
     .about = "Its botanical name; may be left out where limits are given"},
    {.name = "place", AT(place), REF(OW_GROUP_PLACE), REQUIRED, .about = "Where it stands"},
    {.name = "covers", AT(covers), REFS(OW_GROUP_COVER, 20), .about = "Covers at hand for it"},
    {.name = "value", AT(value), NAME(ow_value_names), DEFAULT("ordinary"),
     .about = "What it is worth to you: who comes first when hands or covers are short, and from "
              "which risk on an act is asked (0.25, 0.10, 0.03)"},
    {.name = "pot", AT(pot), OBJECT(&pot_object), .about = "The pot it stands in; this or bed"},
    {.name = "bed", AT(bed), OBJECT(&bed_object), .about = "The bed it stands in; this or pot"},
    {.name = "trunk", AT(trunk), OBJECT(&trunk_object), .about = "Its trunk, if it has one"},
    {.name = "limits", AT(limits), OBJECT(&limits_object),
     .about = "What it stands, over its taxon"},
    {.name = "start_c", AT(start_c), NUMBER(-40, 45, "C", "a plant starts at", ""),
     .about = "Expert: uniform temperature at the start of a rehearsal"},
    {.name = "wearing", AT(wearing), REFS(OW_GROUP_COVER, 20),
     .about = "Covers on it at the start, from the inside out"},
};
#undef IN
static const ow_object plant_object = {
    OBJECT_OF("plant", ow_plant, plant_keys), .about = "One thing to bring through winter."};

/* ---- outputs --------------------------------------------------------------------------------- */

#define HEATER ONLY(BIT(OW_OUTPUT_HEATER))
#define DRIVE ONLY(BIT(OW_OUTPUT_CLOTH_DRIVE))
#define LEASE "How long a command holds unless renewed"
#define IN ow_reported
static const ow_key reported_keys[] = {
    {.name = "topic", AT(topic), TOPIC, REQUIRED, .about = "Topic it comes on, no wildcards"},
    {.name = "on", AT(on), TEXT(200), REQUIRED, .about = "Payload that means on"},
    {.name = "off", AT(off), TEXT(200), REQUIRED, .about = "Payload that means off"},
};
#undef IN
static const ow_object reported_object = {
    OBJECT_OF("reported", ow_reported, reported_keys), .given_flag = true,
    .about = "What the device itself says about its state."};

#define IN ow_output
static const ow_key output_keys[] = {
    {ID(OW_GROUP_OUTPUT), .about = "Its id"},
    PEOPLES_NAME,
    {.name = "kind", AT(kind), NAME(ow_output_kind_names), .selects = true, REQUIRED,
     .about = "What it is"},
    {.name = "place", AT(place), REF(OW_GROUP_PLACE), REQUIRED, .about = "The place it serves"},
    {.name = "topic", AT(topic), TOPIC, REQUIRED, .about = "Topic its commands go to"},
    {.name = "on", AT(on), TEXT(200), REQUIRED, HEATER,
     .about = "Payload that switches on; {seconds} stands for the lease"},
    {.name = "off", AT(off), TEXT(200), REQUIRED, HEATER, .about = "Payload that switches off"},
    {.name = "close", AT(close), TEXT(200), REQUIRED, DRIVE, .about = "Payload that closes"},
    {.name = "open", AT(open), TEXT(200), REQUIRED, DRIVE, .about = "Payload that opens"},
    {.name = "stop", AT(stop), TEXT(200), REQUIRED, DRIVE, .about = "Payload that stops it"},
    {.name = "lease_s", AT(lease_s), DEFAULT("300"), HEATER,
     NUMBER(10, 3600, "s", "a heater's lease is", ""), .about = LEASE},
    {.name = "lease_s", AT(lease_s), DEFAULT("20"), DRIVE,
     NUMBER(2, 300, "s", "a drive's lease is", ""), .about = LEASE},
    {.name = "off_by_itself_s", AT(off_by_itself_s),
     NUMBER(2, 86400, "s", "an off-timer is", ""),
     .about = "The device's own off-timer, at least the lease; without it it is never commanded"},
    {.name = "watts", AT(watts), REQUIRED, HEATER, NUMBER(10, 20000, "W", "a heater has", ""),
     .about = "Its power"},
    {.name = "keep_air_above_c", AT(keep_air_above_c), REQUIRED, HEATER,
     NUMBER(-5, 20, "C", "air is kept above", ""), .about = "The air temperature it is to keep"},
    {.name = "set_back_c", AT(set_back_c), HEATER, NUMBER(-5, 20, "C", "air may fall to", ""),
     .about = "Lowest air while no plant under its glass is harmed; without it none below"},
    {.name = "reported", AT(reported), OBJECT(&reported_object), HEATER,
     .about = "What the device reports"},
    {.name = "power", AT(power), REF(OW_GROUP_READING), HEATER,
     .about = "The reading of its power"},
    {.name = "blocked_while_open", AT(blocked_while_open), REFS(OW_GROUP_READING, 20), HEATER,
     .about = "Contacts that keep it off while one of them is open"},
    {.name = "too_warm_c", AT(too_warm_c), DEFAULT("20"), HEATER,
     NUMBER(0, 45, "C", "too warm is", ""), .about = "Air temperature at which it is kept off"},
    {.name = "longest_run_min", AT(longest_run_min), DEFAULT("180"), HEATER,
     NUMBER(1, 1440, "minutes", "a run is", ""), .about = "Longest run without a rest"},
    {.name = "least_rest_min", AT(least_rest_min), DEFAULT("5"), HEATER,
     NUMBER(0, 240, "minutes", "a rest is", ""), .about = "Least rest after the longest run"},
    {.name = "shortest_on_min", AT(shortest_on_min), DEFAULT("3"), HEATER,
     NUMBER(0, 60, "minutes", "it is", ""), .about = "Shortest time on"},
    {.name = "shortest_off_min", AT(shortest_off_min), DEFAULT("3"), HEATER,
     NUMBER(0, 60, "minutes", "it is", ""), .about = "Shortest time off"},
    {.name = "circuit", AT(circuit), REF(OW_GROUP_CIRCUIT), HEATER,
     .about = "The electric circuit it hangs on"},
    {.name = "covers", AT(covers_plants), REFS(OW_GROUP_PLANT, 1000), DRIVE,
     .about = "Plants under the cloth; their limits say when it closes"},
    {.name = "travel_s", AT(travel_s), REQUIRED, DRIVE,
     NUMBER(1, 600, "s", "a travel takes", ""), .about = "Time from end to end"},
    {.name = "dead_s", AT(dead_s), DEFAULT("2"), DRIVE,
     NUMBER(0.2, 60, "s", "the pause is", ""), .about = "Pause before it turns round"},
    {.name = "closed_end", AT(closed_end), REF(OW_GROUP_READING), .may_dangle = true, DRIVE,
     .about = "Contact that is shut at the closed end"},
    {.name = "open_end", AT(open_end), REF(OW_GROUP_READING), .may_dangle = true, DRIVE,
     .about = "Contact that is shut at the open end"},
    {.name = "wind_max_ms", AT(wind_max_ms), DEFAULT("9"), DRIVE,
     NUMBER(1, 40, "m/s", "a cloth bears wind of", ""), .about = "Wind above which it stays open"},
    {.name = "starts_per_h", AT(starts_per_h), DEFAULT("6"), DRIVE,
     NUMBER(1, 60, "an hour", "starts are", ""), .about = "Most starts in an hour"},
    {.name = "cautions_read", AT(cautions_read), .type = OW_KEY_YES_NO, DEFAULT("false"),
     .about = "true once the cautions were read; until then it is only rehearsed"},
};
#undef IN
static const ow_object output_object = {
    OBJECT_OF("output", ow_output, output_keys), .about = "A thing that can be switched."};

#define IN ow_circuit
static const ow_key circuit_keys[] = {
    {ID(OW_GROUP_CIRCUIT), .about = "Its id, unique among circuits"},
    {.name = "max_watts", AT(max_watts), REQUIRED,
     NUMBER(50, 100000, "W", "a circuit carries", ""), .about = "The most it may carry"},
};
#undef IN
static const ow_object circuit_object = {
    OBJECT_OF("circuit", ow_circuit, circuit_keys), .about = "An electric circuit."};

/* ---- household ------------------------------------------------------------------------------- */

#define IN ow_member
static const ow_key member_keys[] = {
    {ID(OW_GROUP_MEMBER), .about = "Its id, unique in the household"},
    PEOPLES_NAME,
    {.name = "hears", AT(hears), .type = OW_KEY_NAME_SET, .names = ow_hears_names, .min = 1,
     .max = 3, DEFAULT("urgent, jobs, sheets"), .about = "What it is told"},
    {.name = "quiet", AT(quiet), .type = OW_KEY_HOURS, .about = "When only the urgent is told; the morning sheet comes at its end"},
    {.name = "hands", AT(hands), .type = OW_KEY_HOURS, .about = "When it has hands free for jobs; the evening sheet comes as it begins"},
    {.name = "lifts_kg", AT(lifts_kg), DEFAULT("15"), NUMBER(0, 100, "kg", "a person lifts", ""),
     .about = "What it can lift; two lift together what both can"},
    {.name = "trolley", AT(trolley), .type = OW_KEY_YES_NO, DEFAULT("false"),
     .about = "Has a trolley: moves four times what it lifts, alone"},
};
#undef IN
static const ow_object member_object = {
    OBJECT_OF("member", ow_member, member_keys), .about = "A member of the household."};

/* ---- tariff ---------------------------------------------------------------------------------- */

#define IN ow_price_source
static const ow_key price_keys[] = {
    {.name = "topic", AT(topic), TOPIC, REQUIRED, .about = "Topic they come on, no wildcards"},
    {.name = "list", AT(list), POINTER, DEFAULT(""), .about = "JSON pointer to the list of prices"},
    {.name = "time", AT(time), POINTER, REQUIRED,
     .about = "JSON pointer within one price to when it begins (ISO 8601, or seconds since 1970)"},
    {.name = "price", AT(price), POINTER, REQUIRED, .about = "JSON pointer within one to the price"},
    {.name = "stale_after_h", AT(stale_after_h), DEFAULT("36"),
     NUMBER(1, 72, "hours", "prices may be", "old"), .about = "Age after which they no longer count"},
};
#undef IN
static const ow_object price_object = {
    OBJECT_OF("prices", ow_price_source, price_keys), .given_flag = true,
    .about = "Where the prices of the coming hours come from, over MQTT."};

#define IN ow_tariff
static const ow_key tariff_keys[] = {
    {.name = "per_kwh", AT(per_kwh), REQUIRED, NUMBER(0, 1000000, "", "a kilowatt hour costs", ""),
     .about = "Price of a kilowatt hour"},
    {.name = "currency", AT(currency), TEXT(40), .about = "What the price is in, for people"},
    {.name = "prices", AT(prices), OBJECT(&price_object),
     .about = "Prices that change by the hour: houses are heated in a cheap hour before dear ones"},
};
#undef IN
static const ow_object tariff_object = {
    OBJECT_OF("tariff", ow_tariff, tariff_keys), .about = "What electricity costs."};

/* ---- announcements --------------------------------------------------------------------------- */

#define IN ow_announcement
static const ow_key announcement_keys[] = {
    {.name = "topic", AT(topic), TOPIC, REQUIRED,
     .about = "Where to, with {thing} and {property}, or {garden}, in it"},
    {.name = "text", AT(text), TEXT(4000), REQUIRED,
     .about = "What is said, retained, with placeholders; their values are escaped for JSON"},
    {.name = "of", AT(of), .type = OW_KEY_NAME_SET, .names = ow_announced_names, .min = 1, .max = 6,
     DEFAULT("states, numbers, times, texts"), .about = "Of which kinds of properties"},
    {.name = "property", AT(property), TEXT(40),
     .about = "Id of the one property to announce, such as root-coldest, in place of `of`"},
};
#undef IN
static const ow_object announcement_object = {
    OBJECT_OF("announcement", ow_announcement, announcement_keys),
    .about = "What a hub with a format of its own is told of each property, by a template."};

/* ---- the whole ------------------------------------------------------------------------------- */

#define IN ow_garden
static const ow_key garden_keys[] = {
    {.name = "garden", AT(id), .type = OW_KEY_ID, .min = 1, .max = 64, REQUIRED,
     .about = "Id of the garden, part of its topics"},
    {.name = "site", OBJECT(&site_object), REQUIRED, .about = "Where it lies"},
    {.name = "root", AT(root), .type = OW_KEY_TOPIC, .min = 1, .max = 200, DEFAULT("homie"),
     .about = "First part of its own topics"},
    {.name = "store", AT(store), TEXT(4000), .about = "Directory in which `run` keeps its state"},
    {.name = "broker", AT(broker), OBJECT(&broker_object), .about = "The MQTT broker"},
    {.name = "readings", AT(readings), LIST(&reading_object, 0, 2000, reading_count),
     .about = "What is measured"},
    {.name = "forecast", AT(forecast), OBJECT(&forecast_object), .about = "The weather ahead"},
    {.name = "places", AT(places), LIST(&place_object, 1, 200, place_count), REQUIRED,
     .about = "Where plants may stand"},
    {.name = "covers", AT(covers), LIST(&cover_object, 0, 200, cover_count),
     .about = "What can be put over them"},
    {.name = "plants", AT(plants), LIST(&plant_object, 1, 10000, plant_count), REQUIRED,
     .about = "The plants"},
    {.name = "outputs", AT(outputs), LIST(&output_object, 0, 64, output_count),
     .about = "What can be switched"},
    {.name = "circuits", AT(circuits), LIST(&circuit_object, 0, 64, circuit_count),
     .about = "Electric circuits"},
    {.name = "tariff", AT(tariff), OBJECT(&tariff_object), .about = "What electricity costs"},
    {.name = "household", AT(household), LIST(&member_object, 0, 64, household_count),
     .about = "Who is told"},
    {.name = "announce", AT(announcements), LIST(&announcement_object, 0, 32, announcement_count),
     .about = "Announcements in the formats of hubs"},
};
#undef IN
static const ow_object garden_object = {
    OBJECT_OF("garden", ow_garden, garden_keys), .about = "The whole file."};

const ow_object *ow_keys_garden(void)
{
    return &garden_object;
}
