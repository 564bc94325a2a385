/* SPDX-License-Identifier: MIT */
/*
 * The garden's outputs at work: what the interlocks are told, what they answer, and what goes out
 * to the devices. Between module/outputs/, which decides, and the station and the broker.
 */
#ifndef OVERWINTER_HUB_SWITCHES_H
#define OVERWINTER_HUB_SWITCHES_H

#include "garden/pack.h"
#include "garden/scene.h"
#include "garden/station.h"
#include "hub/evening.h"
#include "hub/tree.h"
#include "judgement/speech.h"
#include "judgement/guide.h"
#include "outputs/alarm.h"
#include "outputs/drive.h"
#include "outputs/heater.h"
#include "overwinter.h"

/* One output of the garden file. */
typedef struct ow_switch {
    const ow_output *output;
    ow_heater_spec heater_spec;
    ow_drive_spec drive_spec;
    ow_heater heater;
    ow_drive drive;
    ow_said reported;
    ow_blocks blocked;    /* as answered last */
    ow_alarms alarms;     /* which of them a person is told of */
    double came_on_c;     /* air when a heater came on, and the warmest since; NAN: unknown */
    double warmest_c;
    const char *sent;     /* the command that stands: "on", "off", "close"...; NULL: none yet */
    const char *would;    /* what it would do */
    const char *told;     /* the command that was told as an event last; NULL: none */
    ow_blocks told_latched;
} ow_switch;

typedef struct ow_switches {
    const ow_garden *garden;
    int count;
    ow_switch *item; /* one an output of the garden */
    uint32_t last_ms; /* the clock at the last step */
    uint64_t worth;  /* changes when something is to be kept: a latch, a command */
    uint64_t latches; /* changes when one is latched or released */
} ow_switches;

/* All as at the start of the program. The garden must outlive it. OW_NO_MEMORY. */
OW_CHECK ow_status ow_switches_new(const ow_garden *garden, uint64_t boot_ms, uint32_t slack_ms,
                                   ow_switches **switches);
void ow_switches_free(ow_switches *switches);

/* Topics of what devices report, for subscribing: the index-th, NULL past the end. */
const char *ow_switches_topic(const ow_switches *switches, int index);

/* A message on a topic of reports. False: no output reports there. */
bool ow_switches_take(ow_switches *switches, const ow_message *message);

/* What one step may know. */
typedef struct ow_switch_moment {
    ow_hosting hosting;
    ow_now now;
    const ow_station *station;
    const ow_scene *scene;      /* NULL before the model runs */
    const ow_guide *guide;      /* what the heaters are to keep; NULL: as in the garden file */
    double lowest_ahead_c;      /* the air's lowest out of doors within the night; NAN: unknown */
    const ow_cloth_wish *cloth; /* one an output: is it to be shut now? */
} ow_switch_moment;

/*
 * One step of all outputs, about once a second: commands go out through the host while it is
 * connected. Values go to the tree.
 */
void ow_switches_step(ow_switches *switches, const ow_switch_moment *moment, const ow_host *host,
                      ow_tree *tree);

/* Every output off and latched, until released one by one. */
void ow_switches_stop(ow_switches *switches);

/* Does such a stop hold any of them still? */
bool ow_switches_stopped(const ow_switches *switches);

/* What holds an output until a person releases it. */
ow_blocks ow_switch_latched(const ow_switch *output);

/* The same without a latch, for the end of the program: sends off to all that may be commanded. */
void ow_switches_all_off(ow_switches *switches, const ow_host *host);

/* Releases one; returns the interlocks to blame where refused, else 0. */
ow_blocks ow_switches_release(ow_switches *switches, int output);

/* What an interlock says, and what to do about it. */
ow_spoken ow_block_text(ow_interlock interlock);
ow_spoken ow_block_clears(ow_interlock interlock);

/* The payload that switches an output off, or stops it. */
const char *ow_switch_off_payload(const ow_output *output);

/* What was kept cannot be read, so a stop by hand may be forgotten: all stay off until released. */
void ow_switches_forget(ow_switches *switches, uint64_t boot_ms);

/* State, written or read (see garden/pack.h); outputs are known by id. */
void ow_switches_pack(ow_switches *switches, ow_pack *pack, uint64_t boot_ms);

#endif
