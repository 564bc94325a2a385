/* SPDX-License-Identifier: MIT */
#include "garden/words.h"

#include "garden/garden.h"

/* From one list: the words, and the word of one value. */
#define WORDS(thing, type, LIST)                                                                   \
    static const char *const thing##_word[] = {LIST(OW_WORD_NAME)};                                \
    const char *ow_##thing##_name(type value)                                                      \
    {                                                                                              \
        size_t i = (size_t)value;                                                                  \
        return i < sizeof thing##_word / sizeof *thing##_word ? thing##_word[i] : "?";             \
    }

#define WORD_LIST(thing)                                                                           \
    const char *const *ow_##thing##_names(size_t *n)                                               \
    {                                                                                              \
        *n = sizeof thing##_word / sizeof *thing##_word;                                           \
        return thing##_word;                                                                       \
    }

WORDS(light, ow_light, OW_LIGHT_LIST)
WORDS(value, ow_value, OW_VALUE_LIST)
WORDS(limit_of, ow_limit_of, OW_LIMIT_OF_LIST)
WORDS(measures, ow_measures, OW_MEASURES_LIST)
WORDS(output_kind, ow_output_kind, OW_OUTPUT_KIND_LIST)
WORDS(hears, ow_hears, OW_HEARS_LIST)
WORDS(announced, ow_announced, OW_ANNOUNCED_LIST)
WORDS(unit, ow_unit, OW_UNIT_LIST)

WORD_LIST(light)
WORD_LIST(value)
WORD_LIST(limit_of)
WORD_LIST(measures)
WORD_LIST(output_kind)
WORD_LIST(hears)
WORD_LIST(announced)

const char *const *ow_soil_names(size_t *n)
{
    *n = OW_MEDIUM_WOODY_TRUNK;
    return ow_medium_names(NULL);
}

#define UNIT_RUN(run, first, last)                                                                 \
    const char *const *ow_##run##_units(size_t *n)                                                 \
    {                                                                                              \
        *n = (size_t)(last) - (size_t)(first) + 1;                                                 \
        return &unit_word[first];                                                                  \
    }

UNIT_RUN(temperature, OW_UNIT_C, OW_UNIT_K)
UNIT_RUN(share, OW_UNIT_PERCENT, OW_UNIT_SHARE)
UNIT_RUN(cloud, OW_UNIT_PERCENT, OW_UNIT_OKTA)
UNIT_RUN(speed, OW_UNIT_M_S, OW_UNIT_KNOT)
UNIT_RUN(radiation, OW_UNIT_W_M2, OW_UNIT_W_M2)
UNIT_RUN(rain, OW_UNIT_MM, OW_UNIT_INCH)
UNIT_RUN(depth, OW_UNIT_MM, OW_UNIT_M)
UNIT_RUN(power, OW_UNIT_W, OW_UNIT_KW)
