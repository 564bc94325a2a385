/* SPDX-License-Identifier: MIT */
/* What people and the hub may say to the garden: every payload is checked, nothing is guessed. */
#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/faults.h"
#include "garden/json_text.h"
#include "hub/jobs.h"
#include "hub/live.h"
#include "judgement/watch_list.h"

enum { MOST_PAYLOAD = 4096, ALLOWED_TEXT = 400, PLACES_TEXT = 380, WHO_MOST = 64 };

/* A command under way: its text, and what to say when it is refused. */
typedef struct command {
    ow_engine *e;
    ow_slot slot;
    const char *topic;
    const char *who; /* NULL: not told */
    char text[MOST_PAYLOAD + 1];
} command;

static void refuse_as(const command *c, const char *allowed)
{
    char shown[OW_SHOWN_SIZE];
    ow_live_log(c->e, OW_LEVEL_WARN, "%s: \"%s\" is refused; %s", c->topic,
                ow_shown(shown, c->text), allowed);
}

/* Whoever shows the log knows these sentences, and can say them in another language. */
static void refuse(const command *c, ow_saying saying)
{
    refuse_as(c, ow_saying_english(saying));
}

static void refuse_about(const command *c, ow_saying saying, const char *what)
{
    char text[ALLOWED_TEXT];
    ow_speech to = ow_speech_begin(&c->e->local, "", text, sizeof text, NULL, 0);
    OW_SPEAK(&to, saying, ow_blank_name(what));
    refuse_as(c, text);
}

static void reflect(const command *c, const char *text)
{
    (void)!ow_tree_put(c->e->live->tree, c->slot, text);
    ow_tree_again(c->e->live->tree, c->slot);
}

static ow_actor *actor_of(const command *c)
{
    return c->e->scene != NULL ? &c->e->scene->cast->actor[c->slot.index] : NULL;
}

static void changed(const command *c)
{
    c->e->live->worth++;
    ow_show_plant(c->e, c->slot.index); /* its state stays until it is judged anew */
    ow_tree_again(c->e->live->tree, c->slot);
    ow_live_judge_anew(c->e, c->slot.index);
}

static const char *subject_of(const command *c, char id[OW_NOTICE_ID])
{
    const ow_garden *g = c->e->garden;
    switch (c->slot.kind) {
    case OW_NODE_PLANT:
        return g->plants[c->slot.index].id;
    case OW_NODE_HEATER:
    case OW_NODE_DRIVE:
        return g->outputs[c->slot.index].id;
    case OW_NODE_MEMBER:
        snprintf(id, OW_NOTICE_ID, "household-%s", g->household[c->slot.index].id);
        return id;
    default:
        return "garden";
    }
}

/* An event of the season, with who said it where that is told. */
static void tell(const command *c, const char *event, const char *detail)
{
    char text[MOST_PAYLOAD + WHO_MOST + 8], id[OW_NOTICE_ID];
    bool named = c->who != NULL && c->who[0] != '\0';
    snprintf(text, sizeof text, named ? "%s, by %.*s" : "%s", detail, WHO_MOST,
             named ? c->who : "");
    ow_utf8_mend(text); /* a name may have been cut within a character */
    c->e->host.event(c->e->host.self, c->e->live->now.utc_ms / 1000, subject_of(c, id), event,
                     text);
}

/* ---- plants ---------------------------------------------------------------------------------- */

static void list_places(const ow_garden *g, char text[PLACES_TEXT])
{
    size_t used = 0;
    for (int i = 0; i < g->place_count && used < PLACES_TEXT - 80; i++) {
        used += (size_t)snprintf(text + used, PLACES_TEXT - used, "%s%s", i ? ", " : "",
                                 g->places[i].id);
    }
}

static void set_place(const command *c)
{
    const ow_garden *g = c->e->garden;
    ow_actor *a = actor_of(c);
    char places[PLACES_TEXT];
    int place = ow_place_named(g, c->text);
    if (place < 0) {
        list_places(g, places);
        refuse_about(c, OW_SAY_NOT_A_PLACE, places);
    } else if (a == NULL) {
        refuse(c, OW_SAY_NOT_YET);
    } else if (g->plants[c->slot.index].bed.given && place != a->place) {
        refuse(c, OW_SAY_IN_A_BED);
    } else if (place != a->place &&
               ow_scene_crowd(c->e->scene, place) >= g->places[place].room_for) {
        refuse(c, OW_SAY_PLACE_FULL);
    } else {
        a->place = place;
        tell(c, "moved", g->places[place].id);
        changed(c);
    }
}

/* The new dress; covers that stay on keep how they fared. OW_SAYINGS: done; else why not. */
static ow_saying dress_from(const command *c, const cJSON *list, ow_dress *dress)
{
    const ow_garden *g = c->e->garden;
    const ow_dress *old = &actor_of(c)->dress;
    const cJSON *item;
    if (!cJSON_IsArray(list)) {
        return OW_SAY_NOT_A_LIST;
    }
    ow_engine_count_covers(c->e);
    cJSON_ArrayForEach(item, list)
    {
        int cover = cJSON_IsString(item) ? ow_cover_named(g, item->valuestring) : -1;
        if (cover < 0) {
            return OW_SAY_NOT_A_COVER;
        }
        if (ow_dress_has(dress, cover)) {
            return OW_SAY_COVER_TWICE;
        }
        if (!ow_dress_has(old, cover) && c->e->cover_left[cover] < 1) {
            return OW_SAY_COVERS_IN_USE;
        }
        if (ow_dress_add(dress, g, cover) != OW_OK) {
            return OW_SAY_SIX_COVERS;
        }
        for (size_t k = 0; k < old->n; k++) {
            if (old->item[k] == cover && !old->cover[k].state.blown_off) {
                dress->cover[dress->n - 1] = old->cover[k];
            }
        }
    }
    return OW_SAYINGS;
}

static void set_wearing(const command *c)
{
    ow_actor *a = actor_of(c);
    ow_dress dress = {0};
    if (a == NULL) {
        refuse(c, OW_SAY_NOT_YET);
        return;
    }
    cJSON *list = cJSON_ParseWithOpts(c->text, NULL, true);
    ow_saying why = dress_from(c, list, &dress);
    cJSON_Delete(list);
    if (why != OW_SAYINGS) {
        refuse(c, why);
        return;
    }
    a->dress = dress;
    tell(c, "wearing", c->text);
    changed(c);
}

static bool stock_allows(const command *c)
{
    const ow_verdict *v = &c->e->judged[c->slot.index].verdict;
    ow_engine_count_covers(c->e);
    return !v->asks || ow_engine_stock_allows(c->e, &v->act, c->slot.index);
}

static void done(const command *c)
{
    tell(c, "done", c->text);
    reflect(c, c->text);
    changed(c);
}

/* A chore by its word, of those that this plant wants; -1: none. */
static int chore_named(const command *c, const char *word)
{
    const ow_judged *j = &c->e->judged[c->slot.index];
    for (int k = 0; k < OW_CHORES; k++) {
        bool wanted = (j->chores.set & ~j->chores_done & 1u << k) != 0;
        if (wanted && strcmp(ow_chore_about((ow_chore)k)->word, word) == 0) {
            return k;
        }
    }
    return -1;
}

/* The job that is asked for now is done. */
static void do_job(const command *c, const char *kind)
{
    ow_job job;
    const ow_verdict *v = &c->e->judged[c->slot.index].verdict;
    int chore = chore_named(c, kind);
    bool asked = ow_job_of(c->e, c->slot.index, &job);
    if (chore >= 0) {
        ow_engine_chore_done(c->e, c->slot.index, (ow_chore)chore);
        done(c);
    } else if (!asked) {
        refuse(c, OW_SAY_NO_JOB);
    } else if (strcmp(job.kind, kind) != 0) {
        refuse_about(c, OW_SAY_OTHER_JOB, job.kind);
    } else if (!stock_allows(c)) {
        refuse(c, OW_SAY_JOB_IN_USE);
    } else {
        if (v->asks) {
            ow_trial_play(&v->act, c->e->scene->cast, c->slot.index);
        }
        done(c);
    }
}

/* The garden's own, once in a season. */
static void do_garden_job(const command *c, const char *kind)
{
    ow_job job;
    if (!ow_job_of_garden(c->e, &job) || strcmp(job.kind, kind) != 0) {
        refuse(c, OW_SAY_NO_GARDEN_JOB);
        return;
    }
    ow_engine_drained(c->e);
    tell(c, "done", c->text);
    reflect(c, c->text);
    c->e->live->worth++;
    c->e->live->tile_due = true;
    ow_show_garden(c->e);
}

/* {"job": "cover", "who": "ada"} */
static void set_done(const command *c)
{
    cJSON *o = cJSON_ParseWithOpts(c->text, NULL, true);
    const cJSON *kind = cJSON_GetObjectItemCaseSensitive(o, "job");
    const cJSON *who = cJSON_GetObjectItemCaseSensitive(o, "who");
    bool formed = cJSON_IsObject(o) && cJSON_IsString(kind) && cJSON_IsString(who) &&
                  who->valuestring[0] != '\0';
    if (!formed) {
        refuse(c, OW_SAY_NOT_DONE);
    } else if (c->slot.kind == OW_NODE_GARDEN) {
        do_garden_job(c, kind->valuestring);
    } else if (actor_of(c) == NULL) {
        refuse(c, OW_SAY_NO_JOB);
    } else {
        do_job(c, kind->valuestring);
    }
    cJSON_Delete(o);
}

/* What was seen of each limit that had been passed, with the limit: kept over winters in the season
 * log, so that a grower can move it. */
static void tell_answer(const command *c, const char *word)
{
    const ow_garden *g = c->e->garden;
    const ow_actor *a = actor_of(c);
    ow_watch_item item[OW_PARTS];
    char detail[OW_ANSWER_TEXT];
    int n = a == NULL ? 0 : ow_watch_list(&a->condition, &g->plants[c->slot.index].tolerance,
                                          g->site.latitude_deg, item);
    for (int i = 0; i < n; i++) {
        ow_watch_answer(&item[i], word, detail);
        tell(c, "answered", detail);
    }
}

static void set_seen(const command *c)
{
    static const char *const words[] = {"alive", "regrowing", "dead"};
    ow_told *told = &c->e->live->told[c->slot.index];
    ow_actor *a = actor_of(c);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(c->text, words[i]) == 0) {
            snprintf(told->seen, sizeof told->seen, "%s", words[i]);
            tell_answer(c, words[i]);
            for (int p = 0; a != NULL && p < OW_PARTS; p++) { /* the question is answered */
                ow_harm_watch_start(&a->condition.watch[p]);
            }
            tell(c, "seen", words[i]);
            changed(c);
            return;
        }
    }
    refuse(c, OW_SAY_NOT_SEEN);
}

/* ---- outputs, garden, household -------------------------------------------------------------- */

static void set_release(const command *c)
{
    if (c->text[0] == '\0') {
        refuse(c, OW_SAY_WHO_RELEASES);
        return;
    }
    ow_blocks blame = ow_switches_release(c->e->live->switches, c->slot.index);
    if (blame != 0) {
        refuse_as(c, ow_interlock_about(ow_blocks_first(blame))->text);
        return;
    }
    c->e->live->worth++;
    tell(c, "released", c->text);
    reflect(c, c->text);
    ow_show_stop(c->e);
}

static void set_stop(const command *c)
{
    if (strcmp(c->text, "true") != 0) {
        refuse(c, OW_SAY_STOP_TRUE);
        return;
    }
    if (c->e->garden->output_count == 0) {
        refuse(c, OW_SAY_NO_OUTPUTS);
        return;
    }
    ow_switches_stop(c->e->live->switches);
    c->e->live->step_due_ms = 0; /* off at once, whatever the second */
    c->e->live->worth++;
    tell(c, "stopped", "all outputs");
    ow_show_stop(c->e);
    ow_tree_again(c->e->live->tree, c->slot);
}

static void set_noticed(const command *c)
{
    if (ow_board_noticed(c->e->live->board, c->slot.index, c->text) != OW_OK) {
        refuse(c, OW_SAY_NO_NOTICE);
        return;
    }
    c->e->live->worth++;
    tell(c, "noticed", c->text);
    reflect(c, c->text);
}

/* ---- dispatch -------------------------------------------------------------------------------- */

static void obey(const command *c)
{
    switch (c->slot.prop) {
    case OW_PROP_PLACE:
        set_place(c);
        break;
    case OW_PROP_WEARING:
        set_wearing(c);
        break;
    case OW_PROP_DONE:
        set_done(c);
        break;
    case OW_PROP_SEEN:
        set_seen(c);
        break;
    case OW_PROP_RELEASE:
        set_release(c);
        break;
    case OW_PROP_STOP:
        set_stop(c);
        break;
    case OW_PROP_NOTICED:
        set_noticed(c);
        break;
    default:
        refuse(c, OW_SAY_NOT_SETTABLE);
        break;
    }
}

/* The hub's empty text is one zero byte, and a zero byte anywhere else is no text. What is taken
 * may be published again, so it must be UTF-8. */
static bool read_text(const ow_message *m, char text[MOST_PAYLOAD + 1])
{
    const char *bytes = m->payload;
    size_t size = m->size == 1 && bytes[0] == '\0' ? 0 : m->size;
    if (size > MOST_PAYLOAD || (size > 0 && memchr(bytes, '\0', size) != NULL) ||
        ow_utf8_size(bytes, size) != size) {
        return false;
    }
    if (size > 0) {
        memcpy(text, bytes, size);
    }
    text[size] = '\0';
    return true;
}

void ow_command(ow_engine *e, ow_slot slot, const ow_message *m)
{
    command c = {.e = e, .slot = slot, .topic = m->topic, .who = m->who};
    if (m->retained) {
        ow_live_log(e, OW_LEVEL_WARN, "%s: ignored, since it was sent retained; send it unretained",
                    m->topic);
    } else if (!read_text(m, c.text)) {
        ow_live_log(e, OW_LEVEL_WARN,
                    "%s: %zu bytes are refused; a text of at most %d, in UTF-8, is allowed",
                    m->topic, m->size, MOST_PAYLOAD);
    } else {
        obey(&c);
    }
}
