/* SPDX-License-Identifier: MIT */
#include "hub/keep.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ID_ROOM = 72, MOST = 10000 };

/* ---- things by their ids, so that an edited garden keeps what still fits --------------------- */

static void pack_id(ow_pack *pack, const char *id, char kept[ID_ROOM])
{
    kept[0] = '\0';
    strncat(kept, id, ID_ROOM - 1);
    ow_pack_text(pack, kept, ID_ROOM);
}

/* How many of the garden's plants follow. */
static int pack_count(const ow_engine *e, ow_pack *pack)
{
    int count = e->garden->plant_count;
    ow_pack_int(pack, &count, 0, MOST);
    return count;
}

/* The i-th plant. When reading, the index of the one that is read here; -1: the garden has it no
 * more, or nothing could be read. */
static int pack_plant(const ow_engine *e, ow_pack *pack, int i)
{
    char id[ID_ROOM];
    pack_id(pack, pack->reading ? "" : e->garden->plants[i].id, id);
    if (!pack->reading) {
        return i;
    }
    return pack->status == OW_OK ? ow_plant_named(e->garden, id) : -1;
}

/* Whether what was read after a plant is for one that is here. */
static bool is_for(const ow_pack *pack, int plant)
{
    return pack->reading && pack->status == OW_OK && plant >= 0;
}

/* ---- what was told and done ------------------------------------------------------------------ */

static void pack_told(ow_engine *e, ow_pack *pack)
{
    int count = pack_count(e, pack);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        int plant = pack_plant(e, pack, i);
        ow_told told = pack->reading ? (ow_told){""} : e->live->told[i];
        ow_pack_text(pack, told.seen, sizeof told.seen);
        if (is_for(pack, plant)) {
            e->live->told[plant] = told;
        }
    }
}

/* The season, and the chores done in it whose causes may last for months. */
static void pack_season(ow_engine *e, ow_pack *pack)
{
    ow_winter_pack(&e->winter, pack);
    int count = pack_count(e, pack);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        int plant = pack_plant(e, pack, i);
        int done = pack->reading ? 0 : (int)e->judged[i].chores_done;
        ow_pack_int(pack, &done, 0, (1 << OW_CHORES) - 1);
        if (is_for(pack, plant)) {
            e->judged[plant].chores_done = (unsigned)done;
        }
    }
}

static bool is_wrap(const ow_engine *e, const ow_dress *dress, size_t k)
{
    return dress->cover[k].on == OW_ZONE_GROWING_POINT &&
           e->garden->covers[dress->item[k]].on != OW_ZONE_GROWING_POINT;
}

/* The ids of the index-th such cover; returns how many there are. */
static int wraps(const ow_engine *e, int index, char plant[ID_ROOM], char cover[ID_ROOM])
{
    int n = 0;
    for (int i = 0; e->scene != NULL && i < e->garden->plant_count; i++) {
        const ow_dress *dress = &e->scene->cast->actor[i].dress;
        for (size_t k = 0; k < dress->n; k++) {
            if (is_wrap(e, dress, k) && n++ == index) {
                snprintf(plant, ID_ROOM, "%s", e->garden->plants[i].id);
                snprintf(cover, ID_ROOM, "%s", e->garden->covers[dress->item[k]].id);
            }
        }
    }
    return n;
}

static void wrap(ow_engine *e, const char *plant, const char *cover)
{
    for (int i = 0; e->scene != NULL && i < e->garden->plant_count; i++) {
        ow_dress *dress = &e->scene->cast->actor[i].dress;
        for (size_t k = 0; k < dress->n && strcmp(e->garden->plants[i].id, plant) == 0; k++) {
            if (strcmp(e->garden->covers[dress->item[k]].id, cover) == 0) {
                dress->cover[k].on = OW_ZONE_GROWING_POINT;
            }
        }
    }
}

/* Covers that go round the growing point only, as pairs of ids; the rest of the dress is the
 * plant's own state. */
static void pack_wraps(ow_engine *e, ow_pack *pack)
{
    char plant[ID_ROOM] = "", cover[ID_ROOM] = "";
    int count = pack->reading ? 0 : wraps(e, -1, plant, cover);
    ow_pack_int(pack, &count, 0, OW_WORN_MAX * MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        if (!pack->reading) {
            (void)wraps(e, i, plant, cover);
        }
        ow_pack_text(pack, plant, sizeof plant);
        ow_pack_text(pack, cover, sizeof cover);
        if (pack->reading && pack->status == OW_OK) {
            wrap(e, plant, cover);
        }
    }
}

/* ---- verdicts: what was told last is not told again ------------------------------------------ */

/* An act that names what the garden no longer has is asked for no more. */
static void pack_act(const ow_garden *g, ow_pack *pack, ow_verdict *v)
{
    char id[ID_ROOM];
    ow_trial *act = &v->act;
    ow_pack_bool(pack, &v->asks);
    ow_pack_bool(pack, &act->bare);
    ow_pack_bool(pack, &act->home);
    ow_pack_bool(pack, &act->point);
    ow_pack_bool(pack, &act->wet);
    ow_pack_bool(pack, &act->warm);
    ow_pack_bool(pack, &act->sheds);
    pack_id(pack, !pack->reading && act->sheds ? g->covers[act->shed].id : "", id);
    act->shed = pack->reading ? ow_cover_named(g, id) : act->shed;
    v->asks = v->asks && (!act->sheds || act->shed >= 0);
    pack_id(pack, !pack->reading && act->place >= 0 ? g->places[act->place].id : "", id);
    act->place = pack->reading ? ow_place_named(g, id) : act->place;
    v->asks = v->asks && (id[0] == '\0' || act->place >= 0);
    ow_pack_int(pack, &act->covers, 0, OW_TRIAL_COVERS);
    for (int i = 0; pack->status == OW_OK && i < act->covers; i++) {
        pack_id(pack, !pack->reading ? g->covers[act->cover[i]].id : "", id);
        act->cover[i] = pack->reading ? ow_cover_named(g, id) : act->cover[i];
        v->asks = v->asks && act->cover[i] >= 0;
    }
}

static void pack_verdict(const ow_garden *g, ow_pack *pack, ow_verdict *v)
{
    int state = (int)v->state;
    ow_pack_int(pack, &state, 0, OW_STATES - 1);
    v->state = (ow_state)state;
    ow_pack_time(pack, &v->act_by_s);
    ow_pack_time(pack, &v->milder_since_s);
    pack_act(g, pack, v);
}

static void pack_verdicts(ow_engine *e, ow_pack *pack)
{
    int count = pack_count(e, pack);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        int plant = pack_plant(e, pack, i);
        bool told = !pack->reading && e->judged[i].told;
        ow_verdict v;
        ow_verdict_start(&v);
        ow_pack_bool(pack, &told);
        v = told && !pack->reading ? e->judged[i].verdict : v;
        v.act = v.asks ? v.act : (ow_trial){.place = -1};
        pack_verdict(e->garden, pack, &v);
        if (told && is_for(pack, plant)) {
            e->judged[plant].verdict = v;
            e->judged[plant].told = true;
        }
    }
}

/* The same of the week behind. */
static void pack_past(ow_engine *e, ow_pack *pack)
{
    int count = pack_count(e, pack);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        int plant = pack_plant(e, pack, i);
        ow_track past = pack->reading ? (ow_track){0} : e->live->past[i];
        ow_track_pack(&past, pack);
        if (is_for(pack, plant)) {
            e->live->past[plant] = past;
        }
    }
}

/* Plants that were watered since the garden file called them dry. */
static void pack_watered(ow_engine *e, ow_pack *pack)
{
    int count = 0;
    for (int i = 0; e->scene != NULL && i < e->garden->plant_count; i++) {
        count += e->scene->cast->actor[i].watered;
    }
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0, left = count; left > 0 && pack->status == OW_OK; i++) {
        if (!pack->reading && !e->scene->cast->actor[i].watered) {
            continue;
        }
        int plant = pack_plant(e, pack, i);
        left--;
        if (e->scene != NULL && is_for(pack, plant)) {
            ow_cast_water(e->scene->cast, plant);
        }
    }
}

/* How far plants are on their way out. */
static void pack_hardening(ow_engine *e, ow_pack *pack)
{
    int count = pack_count(e, pack);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        int plant = pack_plant(e, pack, i);
        ow_harden harden = pack->reading ? (ow_harden){0} : e->judged[i].harden;
        ow_harden_pack(&harden, pack);
        if (is_for(pack, plant)) {
            e->judged[plant].harden = harden;
        }
    }
}

/* ---- parts of the state ---------------------------------------------------------------------- */

static void pack_outputs(ow_engine *e, ow_pack *pack)
{
    ow_switches_pack(e->live->switches, pack, e->live->now.boot_ms);
    if (pack->reading && pack->status != OW_OK) {
        ow_switches_forget(e->live->switches, e->live->now.boot_ms);
    }
}

static void pack_board(ow_engine *e, ow_pack *pack)
{
    ow_board_pack(e->live->board, pack);
}

static void pack_lags(ow_engine *e, ow_pack *pack)
{
    ow_lags_pack(e->live->lags, pack);
}

static void pack_learned(ow_engine *e, ow_pack *pack)
{
    ow_learned_pack(&e->live->learned, e->garden, pack);
}

static const char WATERED[] = "watered";
static const struct {
    const char *name;
    void (*pack)(ow_engine *e, ow_pack *pack);
} parts[] = {
    {"outputs", pack_outputs}, {"notices", pack_board}, {"told", pack_told},
    {"asked", pack_verdicts},  {"learned", pack_learned}, {"week", pack_past},
    {"lags", pack_lags},       {"wraps", pack_wraps},   {"season", pack_season},
    {WATERED, pack_watered},   {"hardening", pack_hardening},
};
enum { PARTS = sizeof parts / sizeof parts[0] };

ow_status ow_keep_write(const ow_engine *engine, void **bytes, size_t *size)
{
    ow_engine *e = (ow_engine *)(uintptr_t)engine; /* packing names fields it does not change */
    ow_section section[PARTS];
    unsigned char *part[PARTS] = {0};
    ow_status status = OW_OK;
    for (int i = 0; status == OW_OK && i < PARTS; i++) {
        ow_pack pack = ow_pack_writing();
        parts[i].pack(e, &pack);
        size_t length = 0;
        status = ow_pack_take(&pack, &part[i], &length);
        ow_pack_free(&pack);
        section[i] = (ow_section){parts[i].name, part[i], length};
    }
    unsigned char *whole = NULL;
    if (status == OW_OK) {
        status =
            ow_snapshot_write(e->scene, e->live->now.utc_ms / 1000, section, PARTS, &whole, size);
        *bytes = whole;
    }
    for (int i = 0; i < PARTS; i++) {
        free(part[i]);
    }
    return status;
}

void ow_keep_water(ow_engine *e, const ow_snapshot *snapshot)
{
    const unsigned char *bytes;
    size_t size;
    if (ow_snapshot_section(snapshot, WATERED, &bytes, &size) == OW_OK) {
        ow_pack pack = ow_pack_reading(bytes, size);
        pack_watered(e, &pack); /* what cannot be read is said by ow_keep_read */
    }
}

void ow_keep_read(ow_engine *e, const ow_snapshot *snapshot, ow_report *report)
{
    for (int i = 0; i < PARTS; i++) {
        const unsigned char *bytes;
        size_t size;
        if (ow_snapshot_section(snapshot, parts[i].name, &bytes, &size) != OW_OK) {
            continue;
        }
        ow_pack pack = ow_pack_reading(bytes, size);
        parts[i].pack(e, &pack);
        if (pack.status != OW_OK) {
            ow_say(report, "the kept state's part \"%s\" cannot be read and begins anew",
                   parts[i].name);
        }
    }
}
