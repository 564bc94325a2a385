/* SPDX-License-Identifier: MIT */
/*
 * The engine behind the module's door: one garden in time, its verdicts, and the hands that may
 * obey them. Functions are those of ow_module in overwinter.h, with the same promises.
 */
#ifndef OVERWINTER_HUB_ENGINE_H
#define OVERWINTER_HUB_ENGINE_H

#include "garden/forcing.h"
#include "garden/scene.h"
#include "hub/link.h"
#include "judgement/chores.h"
#include "judgement/guide.h"
#include "judgement/harden.h"
#include "judgement/inquiry.h"
#include "judgement/outlook.h"
#include "judgement/reason.h"
#include "judgement/schedule.h"
#include "judgement/winter.h"
#include "overwinter.h"

struct ow_live;
struct ow_fitting;

enum { OW_LIST_TEXT = 200 };

/* A plant's verdict and its texts. */
typedef struct ow_judged {
    ow_verdict verdict;
    char reason[OW_REASON_TEXT], reason_code[OW_REASON_CODE]; /* codes as in speech.h */
    char action[OW_ACTION_TEXT], action_code[OW_ACTION_CODE];
    char also[OW_LIST_TEXT];
    char wearing[OW_LIST_TEXT];
    ow_chore_set chores;
    ow_harden harden;     /* on its way out in spring */
    unsigned chores_done; /* those that a person has done, until their cause is gone */
    bool look_due; /* it passed a limit, and what lived can show by now */
    bool told; /* a live garden's: the state was, maybe before a restart */
    bool frozen_through, harmed[OW_PARTS], killed[OW_PARTS]; /* as last told */
} ow_judged;

/* The same spell under another guess of an unmeasured sky. */
enum { OW_SHADOW_CLEAR, OW_SHADOW_SHUT, OW_SHADOWS };

struct ow_engine {
    ow_host host;
    ow_local local;
    ow_settings settings;
    ow_garden *garden;
    ow_forcing measured, forecast;
    ow_scene *scene;              /* NULL before the first step */
    ow_scene *shadow[OW_SHADOWS];
    ow_outlook *outlook;
    ow_guide *guide;              /* what the heaters are to keep */
    ow_ensemble *ensemble;        /* the same hours in many runs; NULL: only the expected ones */
    ow_inquiry inquiry;           /* into the plant being looked at */
    ow_schedule *schedule;        /* what was found for each plant, and the plan */
    ow_judged *judged;            /* one a plant */
    int *cover_left;              /* one a cover */
    bool *heating;                /* one an output, as last told */
    bool *raised;                 /* one a place: its heat, as last told */
    ow_winter winter;
    ow_utc_s drain_s;             /* what bursts is to be drained by then; OW_NEVER: no */
    double air_gap_s;
    ow_utc_s judged_s;
    uint64_t steps, assumed_steps;
    ow_garden_link link;
    struct ow_fitting *fitting;   /* the last fit; NULL: none yet */
    struct ow_live *live;         /* NULL in a rehearsal */
};

/* Starts the scene at the first measured row, when that has not been done. */
OW_CHECK ow_status ow_engine_start(ow_engine *engine);

/* Builds what judges and looks ahead of the scene, as the settings say; drops the scene where that
 * fails, so that it is there with all of it or not at all. */
OW_CHECK ow_status ow_engine_foresee(ow_engine *engine);

/* Frees the scene, its shadows and what was built on them. */
void ow_engine_drop(ow_engine *engine);

/* What its members differ in. */
ow_spread ow_engine_spread(const ow_engine *engine);

/* Tells what happened to the plants in the step that just ended: limits passed, roots frozen. */
void ow_engine_tell_step(ow_engine *engine);

/* Takes what the plants have suffered so far as told: a restored garden says nothing twice. */
void ow_engine_told_already(ow_engine *engine);

/* Counts what of each cover is worn by nothing. */
void ow_engine_count_covers(ow_engine *engine);

/* Are there covers and room left for what is asked? After ow_engine_count_covers. */
bool ow_engine_stock_allows(const ow_engine *engine, const ow_trial *act, int plant);

/* A plant's verdict and what was found for it begin anew: it was moved, dressed or undressed. */
void ow_engine_judge_anew(ow_engine *engine, int plant);

/* When all plants have been looked at: what is short, for ow_inquiry_give of each. */
void ow_engine_find_short(ow_engine *engine);

/* Plans for all plants, each of which has been looked at, and turns the heat up where the plan
 * wants it by now. OW_NO_MEMORY. */
OW_CHECK ow_status ow_engine_plan(ow_engine *engine);

/* Settles a plant's verdict by the plan and tells what is new in it. */
void ow_engine_settle(ow_engine *engine, int plant, bool first);

/* All plants have been settled: the season opens, closes, asks for what comes once in it. */
void ow_engine_note_winter(ow_engine *engine);

/* What comes once in a season is done. */
void ow_engine_drained(ow_engine *engine);

/* A person has done a chore. */
void ow_engine_chore_done(ow_engine *engine, int plant, ow_chore chore);

/* Advances to an instant; see ow_module.advance. */
OW_CHECK ow_status ow_engine_advance(ow_engine *engine, int64_t until_s);

#endif
