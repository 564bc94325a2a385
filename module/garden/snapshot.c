/* SPDX-License-Identifier: MIT */
#include "garden/snapshot.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "garden/body_state.h"
#include "garden/pack.h"
#include "garden/plant_state.h"

static const char MAGIC[] = "OWSTATE\n";
enum { MAGIC_SIZE = 8, HEAD_SIZE = 24, FOOT_SIZE = 8 };
enum { NAME_ROOM = 96 };

const char *ow_snapshot_fault_text(ow_snapshot_fault fault)
{
    static const char *const texts[] = {
        [OW_SNAPSHOT_WHOLE] = "it is whole",
        [OW_SNAPSHOT_NOT_ONE] = "it does not begin as a saved state does",
        [OW_SNAPSHOT_CUT] = "it is cut off, or longer than it should be",
        [OW_SNAPSHOT_BROKEN] = "its checksum does not match",
        [OW_SNAPSHOT_NEWER] = "it was saved by a newer version of this program",
    };
    return fault <= OW_SNAPSHOT_NEWER ? texts[fault] : "?";
}

/* ---- the scene ------------------------------------------------------------------------------- */

/* All of the scene that is neither a place nor a plant nor an output. */
typedef struct scene_state {
    ow_utc_s now_s, saved_s;
    int step_s;
    ow_weather weather;
    double wall_c, ground_c, snow_age_days, snow_cm, cloud_memory_pct;
    ow_utc_s cloud_seen_s;
    bool sky_assumed;
    ow_body_state ground;
} scene_state;

static void pack_scene(ow_pack *p, scene_state *s)
{
    ow_pack_time(p, &s->now_s);
    ow_pack_time(p, &s->saved_s);
    ow_pack_int(p, &s->step_s, 1, OW_DAY_S);
    ow_pack_doubles(p, (double *)&s->weather, OW_WEATHER_FIELDS);
    ow_pack_double(p, &s->wall_c);
    ow_pack_double(p, &s->ground_c);
    ow_pack_double(p, &s->snow_age_days);
    ow_pack_double(p, &s->snow_cm);
    ow_pack_double(p, &s->cloud_memory_pct);
    ow_pack_time(p, &s->cloud_seen_s);
    ow_pack_bool(p, &s->sky_assumed);
    ow_body_pack(p, &s->ground);
}

static void gather_scene(const ow_scene *from, ow_utc_s saved_s, scene_state *to)
{
    *to = (scene_state){.now_s = from->now_s,
                        .saved_s = saved_s,
                        .step_s = from->step_s,
                        .weather = from->outdoors.weather,
                        .wall_c = from->outdoors.wall_c,
                        .ground_c = from->outdoors.ground_c,
                        .snow_age_days = from->outdoors.snow_age_days,
                        .snow_cm = from->snow_cm,
                        .cloud_memory_pct = from->cloud_memory_pct,
                        .cloud_seen_s = from->cloud_seen_s,
                        .sky_assumed = from->sky_assumed};
    ow_body_gather(&from->ground, 0, &to->ground);
}

static bool scene_is_sound(const scene_state *s)
{
    return s->now_s != INT64_MAX && s->saved_s != INT64_MAX && s->cloud_seen_s != INT64_MAX &&
           ow_is_body_c(s->weather.air_c) && ow_is_body_c(s->wall_c) &&
           ow_is_body_c(s->ground_c) && s->snow_age_days >= 0.0 && s->snow_cm >= 0.0;
}

static void put_scene(ow_scene *to, const scene_state *s, ow_report *report)
{
    to->now_s = s->now_s - s->now_s % to->step_s;
    to->outdoors.weather = s->weather;
    to->outdoors.wall_c = s->wall_c;
    to->outdoors.ground_c = to->outdoors.paved_c = s->ground_c;
    to->outdoors.snow_age_days = s->snow_age_days;
    to->snow_cm = s->snow_cm;
    to->cloud_memory_pct = s->cloud_memory_pct;
    to->cloud_seen_s = s->cloud_seen_s;
    to->sky_assumed = s->sky_assumed;
    if (ow_body_fits(&to->ground, 0, &s->ground)) {
        ow_body_put(&to->ground, 0, &s->ground);
    } else {
        ow_say(report, "store: the open ground's state does not fit any more; it starts anew");
    }
}

/* A glasshouse: its air and its floor. The air of other places comes with each step. */
typedef struct house_state {
    double air_c;
    ow_body_state floor;
} house_state;

static void pack_house(ow_pack *p, house_state *s)
{
    ow_pack_double(p, &s->air_c);
    ow_body_pack(p, &s->floor);
}

/* An output: heat given so far, J, and in the last step, W. */
static void pack_output(ow_pack *p, double heat[2])
{
    ow_pack_doubles(p, heat, 2);
}

/* How dry the top of a bed or of the open ground is. States from before topsoil was kept have no
 * such section: then it is as moist as the file says. */
static void pack_topsoil(ow_pack *p, ow_topsoil *topsoil)
{
    ow_pack_double(p, &topsoil->depletion_mm);
}

/* ---- writing --------------------------------------------------------------------------------- */

/* Appends what `inner` holds as a section and empties it for the next. */
static void add_section(ow_pack *p, const char *kind, const char *id, ow_pack *inner)
{
    char name[NAME_ROOM];
    const unsigned char *bytes = inner->out;
    int length = snprintf(name, sizeof name, "%s%s", kind, id);
    if (length >= (int)sizeof name && p->status == OW_OK) {
        p->status = OW_BAD_INPUT;
    }
    if (inner->status != OW_OK && p->status == OW_OK) {
        p->status = inner->status;
    }
    ow_pack_text(p, name, sizeof name);
    ow_pack_bytes(p, &bytes, &inner->size);
    inner->size = 0;
}

static void write_houses(ow_pack *p, const ow_scene *scene, ow_pack *inner)
{
    int lane = 0; /* of the floors, behind the open ground */
    for (int i = 0; i < scene->garden->place_count; i++) {
        if (scene->garden->places[i].kind == OW_PLACE_GLASSHOUSE) {
            house_state s = {.air_c = scene->glass[i].air_c};
            ow_body_gather(&scene->ground, ++lane, &s.floor);
            pack_house(inner, &s);
            add_section(p, "glasshouse/", scene->garden->places[i].id, inner);
        }
    }
}

static void write_paved(ow_pack *p, const ow_scene *scene, ow_pack *inner)
{
    ow_body_state paved;
    ow_body_gather(&scene->ground, OW_PAVED_LANE, &paved);
    ow_body_pack(inner, &paved);
    add_section(p, "paved", "", inner);
}

static void write_topsoil(ow_pack *p, const ow_scene *scene, ow_pack *inner)
{
    ow_topsoil open = scene->topsoil;
    pack_topsoil(inner, &open);
    add_section(p, "topsoil", "", inner);
    for (int i = 0; i < scene->garden->plant_count; i++) {
        if (scene->garden->plants[i].bed.given) {
            ow_topsoil bed = scene->cast->actor[i].topsoil;
            pack_topsoil(inner, &bed);
            add_section(p, "topsoil/", scene->garden->plants[i].id, inner);
        }
    }
}

static void write_scene(ow_pack *p, const ow_scene *scene, ow_utc_s saved_s, ow_pack *inner)
{
    const ow_garden *g = scene->garden;
    scene_state whole;
    gather_scene(scene, saved_s, &whole);
    pack_scene(inner, &whole);
    add_section(p, "scene", "", inner);
    write_houses(p, scene, inner);
    write_paved(p, scene, inner);
    write_topsoil(p, scene, inner);
    for (int i = 0; i < g->output_count; i++) {
        double heat[2] = {scene->heater_j[i], scene->heater_w[i]};
        pack_output(inner, heat);
        add_section(p, "output/", g->outputs[i].id, inner);
    }
    for (int i = 0; i < g->plant_count; i++) {
        ow_plant_state plant;
        ow_plant_gather(scene, i, &plant);
        ow_plant_pack(inner, &plant);
        add_section(p, "plant/", g->plants[i].id, inner);
    }
}

static void write_added(ow_pack *p, const ow_section *sections, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        char name[NAME_ROOM];
        const unsigned char *bytes = sections[i].bytes;
        size_t size = sections[i].size;
        if (strlen(sections[i].name) >= OW_SECTION_NAME) {
            p->status = OW_BAD_INPUT;
            return;
        }
        snprintf(name, sizeof name, "added/%s", sections[i].name);
        ow_pack_text(p, name, sizeof name);
        ow_pack_bytes(p, &bytes, &size);
    }
}

/* Magic, version and size are known once all is written. */
static void write_head(ow_pack *p)
{
    ow_pack head = ow_pack_writing();
    int64_t version = OW_SNAPSHOT_VERSION, size = (int64_t)(p->size + FOOT_SIZE);
    ow_pack_int64(&head, &version);
    ow_pack_int64(&head, &size);
    if (head.status == OW_OK && p->status == OW_OK) {
        memcpy(p->out, MAGIC, MAGIC_SIZE);
        memcpy(p->out + MAGIC_SIZE, head.out, HEAD_SIZE - MAGIC_SIZE);
    } else if (p->status == OW_OK) {
        p->status = head.status;
    }
    ow_pack_free(&head);
}

ow_status ow_snapshot_write(const ow_scene *scene, ow_utc_s saved_s, const ow_section *sections,
                            size_t n, unsigned char **bytes, size_t *size)
{
    ow_pack p = ow_pack_writing(), inner = ow_pack_writing();
    double head[HEAD_SIZE / sizeof(double)] = {0};
    ow_pack_doubles(&p, head, HEAD_SIZE / sizeof(double)); /* room for it */
    if (scene != NULL) {
        write_scene(&p, scene, saved_s, &inner);
    }
    write_added(&p, sections, n);
    write_head(&p);
    int64_t crc = p.status == OW_OK ? ow_crc32(p.out, p.size) : 0;
    ow_pack_int64(&p, &crc);
    ow_pack_free(&inner);
    ow_status status = ow_pack_take(&p, bytes, size);
    ow_pack_free(&p);
    return status;
}

/* ---- reading --------------------------------------------------------------------------------- */

/* The sections one after the other: start with ow_pack sections_of(snapshot). */
static ow_pack sections_of(const ow_snapshot *s)
{
    return ow_pack_reading(s->bytes + HEAD_SIZE, s->size - HEAD_SIZE - FOOT_SIZE);
}

static bool next_section(ow_pack *p, char name[NAME_ROOM], ow_pack *inner)
{
    const unsigned char *bytes = NULL;
    size_t size = 0;
    if (p->at == p->size) {
        return false;
    }
    ow_pack_text(p, name, NAME_ROOM);
    ow_pack_bytes(p, &bytes, &size);
    *inner = ow_pack_reading(bytes, size);
    return p->status == OW_OK;
}

static bool find_section(const ow_snapshot *s, const char *kind, const char *id, ow_pack *inner)
{
    char name[NAME_ROOM], wanted[NAME_ROOM];
    ow_pack p = sections_of(s);
    snprintf(wanted, sizeof wanted, "%s%s", kind, id);
    while (next_section(&p, name, inner)) {
        if (strcmp(name, wanted) == 0) {
            return true;
        }
    }
    return false;
}

/* A section counts only when it is read to its last byte. */
static bool read_whole(const ow_pack *inner)
{
    return inner->status == OW_OK && inner->at == inner->size;
}

static bool read_scene(const ow_snapshot *s, scene_state *state)
{
    ow_pack inner;
    *state = (scene_state){0};
    if (!find_section(s, "scene", "", &inner)) {
        return false;
    }
    pack_scene(&inner, state);
    return read_whole(&inner) && scene_is_sound(state);
}

static bool sections_are_whole(const ow_snapshot *s)
{
    char name[NAME_ROOM];
    ow_pack p = sections_of(s), inner;
    while (next_section(&p, name, &inner)) {
    }
    return read_whole(&p);
}

/* What holds in every version: magic, size and checksum; then the version. */
static ow_snapshot_fault prove(const unsigned char *bytes, size_t size, int64_t *version)
{
    int64_t told_size = 0, told_crc = 0;
    if (memcmp(bytes, MAGIC, size < MAGIC_SIZE ? size : MAGIC_SIZE) != 0) {
        return OW_SNAPSHOT_NOT_ONE;
    }
    if (size < HEAD_SIZE + FOOT_SIZE) {
        return OW_SNAPSHOT_CUT;
    }
    ow_pack head = ow_pack_reading(bytes + MAGIC_SIZE, HEAD_SIZE - MAGIC_SIZE);
    ow_pack foot = ow_pack_reading(bytes + size - FOOT_SIZE, FOOT_SIZE);
    ow_pack_int64(&head, version);
    ow_pack_int64(&head, &told_size);
    ow_pack_int64(&foot, &told_crc);
    if (told_size < 0 || (uint64_t)told_size != size) {
        return OW_SNAPSHOT_CUT;
    }
    if (told_crc != (int64_t)ow_crc32(bytes, size - FOOT_SIZE) || *version < 1) {
        return OW_SNAPSHOT_BROKEN;
    }
    return *version > OW_SNAPSHOT_VERSION ? OW_SNAPSHOT_NEWER : OW_SNAPSHOT_WHOLE;
}

ow_snapshot_fault ow_snapshot_open(const unsigned char *bytes, size_t size, ow_snapshot *out)
{
    scene_state scene;
    ow_snapshot s = {.bytes = bytes, .size = size};
    ow_snapshot_fault fault = prove(bytes, size, &s.version);
    if (fault == OW_SNAPSHOT_NEWER) {
        out->version = s.version;
    }
    if (fault != OW_SNAPSHOT_WHOLE) {
        return fault;
    }
    ow_pack inner;
    s.has_scene = sections_are_whole(&s) && find_section(&s, "scene", "", &inner);
    if (!sections_are_whole(&s) || (s.has_scene && !read_scene(&s, &scene))) {
        return OW_SNAPSHOT_BROKEN;
    }
    if (!s.has_scene) {
        *out = s;
        return OW_SNAPSHOT_WHOLE;
    }
    s.saved_s = scene.saved_s;
    s.now_s = scene.now_s;
    s.step_s = scene.step_s;
    s.air_c = scene.wall_c;
    *out = s;
    return OW_SNAPSHOT_WHOLE;
}

ow_status ow_snapshot_section(const ow_snapshot *s, const char *name, const unsigned char **bytes,
                              size_t *size)
{
    ow_pack inner;
    if (!find_section(s, "added/", name, &inner)) {
        return OW_NOT_FOUND;
    }
    *bytes = inner.in;
    *size = inner.size;
    return OW_OK;
}

/* ---- restoring ------------------------------------------------------------------------------- */

static bool restore_house(const ow_snapshot *snapshot, ow_scene *scene, int i, int lane)
{
    house_state s = {.air_c = 0.0};
    ow_pack inner;
    if (!find_section(snapshot, "glasshouse/", scene->garden->places[i].id, &inner)) {
        return false;
    }
    pack_house(&inner, &s);
    if (!read_whole(&inner) || !ow_is_body_c(s.air_c) ||
        !ow_body_fits(&scene->ground, lane, &s.floor)) {
        return false;
    }
    scene->glass[i].air_c = s.air_c;
    ow_body_put(&scene->ground, lane, &s.floor);
    return true;
}

static void restore_houses(const ow_snapshot *snapshot, ow_scene *scene, ow_report *report)
{
    int lane = 0;
    for (int i = 0; i < scene->garden->place_count; i++) {
        const ow_place *place = &scene->garden->places[i];
        if (place->kind == OW_PLACE_GLASSHOUSE &&
            !restore_house(snapshot, scene, i, ++lane)) {
            ow_say(report, "store: nothing fits %s; its air and floor start anew", place->id);
        }
    }
}

static void restore_outputs(const ow_snapshot *snapshot, ow_scene *scene)
{
    for (int i = 0; i < scene->garden->output_count; i++) {
        double heat[2] = {0.0, 0.0};
        ow_pack inner;
        if (!find_section(snapshot, "output/", scene->garden->outputs[i].id, &inner)) {
            continue;
        }
        pack_output(&inner, heat);
        if (read_whole(&inner) && heat[0] >= 0.0 && isfinite(heat[0]) && isfinite(heat[1])) {
            scene->heater_j[i] = heat[0];
            scene->heater_w[i] = heat[1];
        }
    }
}

/* States from before paving was counted have none: it starts anew. */
static void restore_paved(const ow_snapshot *snapshot, ow_scene *scene)
{
    ow_body_state paved = {0};
    ow_pack inner;
    if (!find_section(snapshot, "paved", "", &inner)) {
        return;
    }
    ow_body_pack(&inner, &paved);
    if (read_whole(&inner) && ow_body_fits(&scene->ground, OW_PAVED_LANE, &paved)) {
        ow_body_put(&scene->ground, OW_PAVED_LANE, &paved);
    }
}

static void restore_topsoil(const ow_snapshot *snapshot, const char *kind, const char *id,
                            ow_topsoil *topsoil)
{
    ow_topsoil kept = *topsoil;
    ow_pack inner;
    if (find_section(snapshot, kind, id, &inner)) {
        pack_topsoil(&inner, &kept);
        if (read_whole(&inner) && kept.depletion_mm >= 0.0 && kept.depletion_mm < 100.0) {
            topsoil->depletion_mm = kept.depletion_mm;
        }
    }
}

static bool restore_plant(const ow_snapshot *snapshot, ow_scene *scene, int i, ow_report *report)
{
    const char *id = scene->garden->plants[i].id;
    ow_plant_state s = {.worn = 0};
    ow_pack inner;
    if (!find_section(snapshot, "plant/", id, &inner)) {
        ow_say(report, "store: %s is new; it starts at the air's mean", id);
        return false;
    }
    ow_plant_pack(&inner, &s);
    if (!read_whole(&inner) || !ow_plant_fits(scene, i, &s)) {
        ow_say(report, "store: %s is in another pot, bed or trunk than before; it starts anew", id);
        return false;
    }
    ow_plant_put(scene, i, &s, report);
    if (scene->garden->plants[i].bed.given) {
        restore_topsoil(snapshot, "topsoil/", id, &scene->cast->actor[i].topsoil);
    }
    return true;
}

static int count_gone(const ow_snapshot *snapshot, const ow_garden *g, ow_report *report)
{
    char name[NAME_ROOM];
    ow_pack p = sections_of(snapshot), inner;
    int gone = 0;
    while (next_section(&p, name, &inner)) {
        if (strncmp(name, "plant/", 6) == 0 && ow_plant_named(g, name + 6) < 0) {
            ow_say(report, "store: %s is no longer in the garden file; its state is dropped",
                   name + 6);
            gone++;
        }
    }
    return gone;
}

ow_restored ow_snapshot_restore(const ow_snapshot *snapshot, ow_scene *scene, ow_report *report,
                                bool *kept)
{
    scene_state state;
    ow_restored result = {0, 0, 0};
    if (read_scene(snapshot, &state)) { /* opening has proved it */
        put_scene(scene, &state, report);
    }
    restore_houses(snapshot, scene, report);
    restore_paved(snapshot, scene);
    restore_topsoil(snapshot, "topsoil", "", &scene->topsoil);
    restore_outputs(snapshot, scene);
    for (int i = 0; i < scene->garden->plant_count; i++) {
        bool same = restore_plant(snapshot, scene, i, report);
        result.plants_kept += same;
        result.plants_anew += !same;
        if (kept != NULL) {
            kept[i] = same;
        }
    }
    result.plants_gone = count_gone(snapshot, scene->garden, report);
    return result;
}
