/* SPDX-License-Identifier: MIT */
/*
 * Ways: what could be done for a plant, and what each was found to do. A survey is all of that for
 * one plant; the plan chooses from it.
 */
#ifndef OVERWINTER_JUDGEMENT_WAYS_H
#define OVERWINTER_JUDGEMENT_WAYS_H

#include "judgement/loss.h"
#include "judgement/outlook.h"
#include "judgement/state.h"

enum { OW_WAYS = 16, OW_TRIALS_MOST = 96, OW_FINDINGS = 6, OW_GIVES = 8 };

/* One act that helps a plant. */
typedef struct ow_way {
    ow_trial act;      /* at_s: the earliest start that helps as much */
    ow_loss loss;      /* left under it */
    double wait;       /* roots that stay frozen, in the measure of loss */
    bool prevents;     /* no limit of cold is passed */
    double eased_c;    /* lowest of the part threatened first; NAN: no threat */
    ow_utc_s latest_s; /* latest start that helps as much */
    ow_utc_s open_s, half_s, gone_s, reset_s; /* of the thaw, as in ow_course */
    bool hasty;                               /* thaws in a room warmer than OW_THAW_ROOM_C */
} ow_way;

/* What a plant holds and another may want: one cover off, or back out of a room; and what that
 * would leave. What it adds to the loss counts as sure, since no risk was worked out for it. */
typedef struct ow_give {
    ow_trial act;
    ow_loss loss;
    double wait;
    bool harms;     /* more is passed than with nothing done */
    double spare_k; /* how far the nearest part then stays above its limit */
} ow_give;

/* Frozen roots are thawed in a cool room: warm tops wake while roots cannot drink (common practice,
 * no source). */
#define OW_THAW_ROOM_C 12.0

/* A state found out without the help of a plan, and the act it asks for. */
typedef struct ow_finding {
    ow_state state;
    ow_trial act;
    bool asks;
    ow_utc_s act_by_s;
} ow_finding;

typedef struct ow_survey {
    bool made; /* ways were looked for at made_s */
    ow_utc_s made_s;
    ow_threat threat; /* with nothing done */
    int runs, passed; /* runs ahead, and those in which a limit is passed */
    double share;     /* the same as a share of them; 1 where the one run passes a limit */
    bool thaw;        /* thaw needed, by thaw_by_s */
    ow_utc_s thaw_by_s;
    ow_loss leave; /* with nothing done */
    double leave_wait;
    double spare_k;                           /* how far the nearest part stays above its limit */
    bool rooted;                              /* stands in a bed: cannot be carried */
    ow_utc_s thaw_s, half_s, gone_s, reset_s; /* with nothing done */
    int ways;
    ow_way way[OW_WAYS]; /* each better than nothing */
    int gives;
    ow_give give[OW_GIVES]; /* asked for only where others are short of what it holds */
    int findings;
    ow_finding found[OW_FINDINGS];
} ow_survey;

/* The covers at hand one by one, on the growing point only, in pairs of two kinds; water on a dry
 * pot of what drinks in winter; its glasshouse kept warmer; other sheltered places, alone, with a
 * cover, and kept warmer. All start at now_s; n <= room. */
int ow_trials_of(const ow_garden *garden, const ow_actor *actor, ow_utc_s now_s, ow_trial *trial,
                 int room);

/* What a plant could give: each cover on it that is short, the room that it is a guest in, alone
 * and with a cover of its own at home. One flag a cover and a place. */
int ow_trials_give(const ow_garden *garden, const ow_actor *actor, ow_utc_s now_s,
                   const bool *cover_short, const bool *room_short, ow_trial *trial, int room);

/* Evergreen leaves drink in winter; what rests dry is left so. */
bool ow_drinks_in_winter(const ow_plant *plant);

/*
 * The same covers laid later too, halfway to the threat and an hour before it: laid before rain or
 * a gale a cover may be worth nothing when the frost comes. Returns the new number of trials.
 */
int ow_trials_later(ow_trial *trial, int n, int room, ow_utc_s now_s, ow_utc_s threat_s);

/* Notes what a trial was found to do; of the same act at two starts the better, else earlier one
 * stays. What does not help is not kept, of more than OW_WAYS the best are. */
void ow_survey_note(ow_survey *survey, const ow_trial *trial, const ow_course *course,
                    const ow_actor *actor, const ow_garden *garden, const ow_outlook *outlook);

/* Notes what a plant would lose by a give, beside what it loses anyway: `kept` is its course with
 * nothing done. The first OW_GIVES are kept. */
void ow_survey_note_give(ow_survey *survey, const ow_trial *trial, const ow_course *course,
                         const ow_course *kept, const ow_actor *actor, const ow_garden *garden,
                         const ow_outlook *outlook);

/* Leaves out ways that another one is at least as good as with no more of covers and room; then
 * what is dearest, down to `most`. */
void ow_survey_thin(ow_survey *survey, const ow_garden *garden, int most);

/* Minutes of one person's time that an act takes, and what it costs in the measure of loss, per
 * person (common practice, no source). */
double ow_act_minutes(const ow_trial *act);
#define OW_MINUTE_COSTS 0.004

/* What staying frozen until open_s costs: little beside any harm, enough to choose among rooms.
 * Water moving six hours sooner is worth carrying a pot for. */
#define OW_WAIT_PER_H (0.04 / 6.0)
double ow_thaw_wait(const ow_outlook *outlook, ow_utc_s open_s);

#endif
