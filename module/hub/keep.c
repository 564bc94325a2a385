/* SPDX-License-Identifier: MIT */
#include "hub/keep.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char OUTPUTS[] = "outputs", BOARD[] = "notices", TOLD[] = "told",
                  VERDICTS[] = "asked", WATERED[] = "watered", HARDENING[] = "hardening",
                  LEARNED[] = "learned", PAST[] = "week", LAGS[] = "lags", WRAPS[] = "wraps",
                  SEASON[] = "season";

enum { ID_ROOM = 72, MOST = 10000 };

/* Plants are known by id, so that an edited garden keeps what still fits. */
static void pack_told(ow_engine *e, ow_pack *pack)
{
    int count = e->garden->plant_count;
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM] = "";
        ow_told told = {""};
        if (!pack->reading) {
            strncpy(id, e->garden->plants[i].id, sizeof id - 1);
            told = e->live->told[i];
        }
        ow_pack_text(pack, id, sizeof id);
        ow_pack_text(pack, told.seen, sizeof told.seen);
        for (int k = 0; pack->reading && k < e->garden->plant_count; k++) {
            if (strcmp(e->garden->plants[k].id, id) == 0) {
                e->live->told[k] = told;
            }
        }
    }
}

/* The season, and the chores done in it whose causes may last for months. */
static void pack_season(ow_engine *e, ow_pack *pack)
{
    int count = e->garden->plant_count;
    ow_winter_pack(&e->winter, pack);
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM] = "";
        int done = 0;
        if (!pack->reading) {
            strncpy(id, e->garden->plants[i].id, sizeof id - 1);
            done = (int)e->judged[i].chores_done;
        }
        ow_pack_text(pack, id, sizeof id);
        ow_pack_int(pack, &done, 0, (1 << OW_CHORES) - 1);
        for (int k = 0; pack->reading && k < e->garden->plant_count; k++) {
            if (strcmp(e->garden->plants[k].id, id) == 0) {
                e->judged[k].chores_done = (unsigned)done;
            }
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

/* Index of a place, or of a cover, by its id; -1: the garden has none such, or `id` is empty. */
static int place_named(const ow_garden *g, const char *id)
{
    int at = g->place_count - 1;
    while (at >= 0 && strcmp(g->places[at].id, id) != 0) {
        at--;
    }
    return at;
}

static int cover_named(const ow_garden *g, const char *id)
{
    int at = g->cover_count - 1;
    while (at >= 0 && strcmp(g->covers[at].id, id) != 0) {
        at--;
    }
    return at;
}

static void pack_id(ow_pack *pack, const char *id, char kept[ID_ROOM])
{
    kept[0] = '\0';
    strncat(kept, id, ID_ROOM - 1);
    ow_pack_text(pack, kept, ID_ROOM);
}

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
    act->shed = pack->reading ? cover_named(g, id) : act->shed;
    v->asks = v->asks && (!act->sheds || act->shed >= 0);
    pack_id(pack, !pack->reading && act->place >= 0 ? g->places[act->place].id : "", id);
    act->place = pack->reading ? place_named(g, id) : act->place;
    v->asks = v->asks && (id[0] == '\0' || act->place >= 0);
    ow_pack_int(pack, &act->covers, 0, OW_TRIAL_COVERS);
    for (int i = 0; pack->status == OW_OK && i < act->covers; i++) {
        pack_id(pack, !pack->reading ? g->covers[act->cover[i]].id : "", id);
        act->cover[i] = pack->reading ? cover_named(g, id) : act->cover[i];
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
    int count = e->garden->plant_count;
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM];
        ow_verdict v;
        ow_verdict_start(&v);
        bool told = !pack->reading && e->judged[i].told;
        pack_id(pack, pack->reading ? "" : e->garden->plants[i].id, id);
        ow_pack_bool(pack, &told);
        v = told && !pack->reading ? e->judged[i].verdict : v;
        v.act = v.asks ? v.act : (ow_trial){.place = -1};
        pack_verdict(e->garden, pack, &v);
        for (int k = 0; pack->reading && pack->status == OW_OK && k < e->garden->plant_count; k++) {
            if (told && strcmp(e->garden->plants[k].id, id) == 0) {
                e->judged[k].verdict = v;
                e->judged[k].told = true;
            }
        }
    }
}

/* The same of the week behind. */
static void pack_past(ow_engine *e, ow_pack *pack)
{
    int count = e->garden->plant_count;
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM] = "";
        ow_track past = {0};
        if (!pack->reading) {
            strncpy(id, e->garden->plants[i].id, sizeof id - 1);
            past = e->live->past[i];
        }
        ow_pack_text(pack, id, sizeof id);
        ow_track_pack(&past, pack);
        for (int k = 0; pack->reading && k < e->garden->plant_count; k++) {
            if (strcmp(e->garden->plants[k].id, id) == 0) {
                e->live->past[k] = past;
            }
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
        char id[ID_ROOM];
        if (!pack->reading && !e->scene->cast->actor[i].watered) {
            continue;
        }
        pack_id(pack, pack->reading ? "" : e->garden->plants[i].id, id);
        left--;
        for (int k = 0; pack->reading && e->scene != NULL && k < e->garden->plant_count; k++) {
            if (strcmp(e->garden->plants[k].id, id) == 0) {
                ow_cast_water(e->scene->cast, k);
            }
        }
    }
}

/* How far plants are on their way out. */
static void pack_hardening(ow_engine *e, ow_pack *pack)
{
    int count = e->garden->plant_count;
    ow_pack_int(pack, &count, 0, MOST);
    for (int i = 0; i < count && pack->status == OW_OK; i++) {
        char id[ID_ROOM];
        ow_harden harden = {0};
        pack_id(pack, pack->reading ? "" : e->garden->plants[i].id, id);
        harden = pack->reading ? harden : e->judged[i].harden;
        ow_harden_pack(&harden, pack);
        for (int k = 0; pack->reading && pack->status == OW_OK && k < e->garden->plant_count; k++) {
            if (strcmp(e->garden->plants[k].id, id) == 0) {
                e->judged[k].harden = harden;
            }
        }
    }
}

static void pack_part(ow_engine *e, const char *name, ow_pack *pack)
{
    if (name == OUTPUTS) {
        ow_switches_pack(e->live->switches, pack, e->live->now.boot_ms);
    } else if (name == BOARD) {
        ow_board_pack(e->live->board, pack);
    } else if (name == LAGS) {
        ow_lags_pack(e->live->lags, pack);
    } else if (name == WRAPS) {
        pack_wraps(e, pack);
    } else if (name == SEASON) {
        pack_season(e, pack);
    } else if (name == VERDICTS) {
        pack_verdicts(e, pack);
    } else if (name == WATERED) {
        pack_watered(e, pack);
    } else if (name == HARDENING) {
        pack_hardening(e, pack);
    } else if (name == LEARNED) {
        ow_learned_pack(&e->live->learned, e->garden, pack);
    } else if (name == PAST) {
        pack_past(e, pack);
    } else {
        pack_told(e, pack);
    }
}

static const char *const parts[] = {OUTPUTS, BOARD, TOLD,  VERDICTS, LEARNED,
                                    PAST,    LAGS,  WRAPS, SEASON,   WATERED, HARDENING};
enum { PARTS = sizeof parts / sizeof parts[0] };

ow_status ow_keep_write(const ow_engine *engine, void **bytes, size_t *size)
{
    ow_engine *e = (ow_engine *)(uintptr_t)engine; /* packing names fields it does not change */
    ow_section section[PARTS];
    unsigned char *part[PARTS] = {0};
    ow_status status = OW_OK;
    for (int i = 0; status == OW_OK && i < PARTS; i++) {
        ow_pack pack = ow_pack_writing();
        pack_part(e, parts[i], &pack);
        size_t length = 0;
        status = ow_pack_take(&pack, &part[i], &length);
        ow_pack_free(&pack);
        section[i] = (ow_section){parts[i], part[i], length};
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
        if (ow_snapshot_section(snapshot, parts[i], &bytes, &size) != OW_OK) {
            continue;
        }
        ow_pack pack = ow_pack_reading(bytes, size);
        pack_part(e, parts[i], &pack);
        if (pack.status != OW_OK) {
            ow_say(report, "the kept state's part \"%s\" cannot be read and begins anew", parts[i]);
            if (parts[i] == OUTPUTS) {
                ow_switches_forget(e->live->switches, e->live->now.boot_ms);
            }
        }
    }
}
