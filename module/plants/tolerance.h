/* SPDX-License-Identifier: MIT */
/*
 * What a plant stands: limits of cold per part, days of frozen roots, softness before hardening.
 * Plain data: a caller with limits of its own writes over the fields (ow_limit_own helps).
 */
#ifndef OVERWINTER_PLANTS_TOLERANCE_H
#define OVERWINTER_PLANTS_TOLERANCE_H

#include <stdbool.h>

#include "plants/parts.h"

#define OW_LIMIT_MINUTES                                                                           \
    30.0 /* how long a limit must be passed, where no source says otherwise                        \
          */

/*
 * The careful gap between the first damage and death, used where a source gives only one of them
 * (the evergreens of Warrington & Stanley 1987 show 0 to 5 K, most often 2 or 3).
 */
#define OW_LIMIT_GAP_K 2.0

typedef struct ow_limit {
    bool set;            /* false: no limit is known for the part; the rest is then not read */
    double damaged_c;    /* harm begins below it */
    double killed_c;     /* the part dies below it; never warmer than damaged_c */
    bool of_air;         /* true: an air minimum; false: the temperature of the tissue itself */
    double minutes;      /* how long without a break it must last */
    char grade;          /* 'A' freezing test, 'B' field record, 'C' grower's list, 'O' own */
    const char *source;  /* who says so; begins "by genus: " or "by kind: " for a fall-back */
    const char *meaning; /* what the published number was, in the source's sense */
} ow_limit;

typedef enum ow_leaves {
    OW_LEAVES_EVERGREEN, /* in leaf all winter: sun and wind dry it while its roots are frozen */
    OW_LEAVES_RESTING,   /* leaves kept but resting (bog plants): dries, sun and wind add nothing */
    OW_LEAVES_NONE       /* leafless or died back in winter: frozen roots do not dry it */
} ow_leaves;

/* What is particular to a kind of plant (the traits of a kind in taxa.tsv): bits. */
typedef enum ow_trait {
    OW_TRAIT_FIBROUS_TRUNK = 1, /* of roots and leaf bases, no wood */
    OW_TRAIT_OPEN_CROWN = 2,    /* holds water, and rots when that freezes */
    OW_TRAIT_RESTS_DRY = 4,     /* is not watered in winter */
    OW_TRAIT_STANDS_WET = 8,    /* wants its saucer full */
    OW_TRAIT_STEM_KEPT = 16 /* cut and wrapped when the leaves are gone, its stem sprouts again */
} ow_trait;

typedef struct ow_tolerance {
    ow_limit limit[OW_PARTS];
    ow_leaves leaves;
    double suffers_days; /* days of the drought clock; NAN: frozen roots are no threat */
    double may_die_days; /* the same; >= suffers_days */
    double soft_k;       /* K that limits are warmer when not hardened at all (see season.h) */
    const char *kind;    /* "palm", "bog plant" ...; "own limits" without a taxon */
    unsigned traits;     /* ow_trait */
} ow_tolerance;

/*
 * The tolerance of a plant with no taxon: no limit set, evergreen, drought days of a tough
 * evergreen (21 and 42: common practice, no source), soft_k 2.
 */
void ow_tolerance_own(ow_tolerance *tolerance);

/* A limit stated by the grower: set, grade 'O', source "own", OW_LIMIT_MINUTES. */
ow_limit ow_limit_own(double damaged_c, double killed_c, bool of_air);

/*
 * The temperature to hold against a limit, like with like. For a limit of the tissue it is the
 * part's own. For an air minimum it is the warmer of the part and the air at the part: a leaf that
 * the clear sky made colder than the air must not count the sky twice, and a wrapped part that is
 * warmer than the air gets its credit. A missing (NAN) one of the two leaves the other.
 */
double ow_limit_compared_c(const ow_limit *limit, double part_c, double air_c);

#endif
