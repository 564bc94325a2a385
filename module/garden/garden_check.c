/* SPDX-License-Identifier: MIT */
#include "garden/garden_check.h"

#include "garden/exposure.h"
#include "garden/references.h"
#include "garden/scene.h"
#include "garden/template.h"
#include "plants/taxa.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* The thing at hand: what it is called in messages, and its node in the file. */
struct thing {
    const ow_key_reader *reader;
    const ow_garden *garden;
    const cJSON *node; /* NULL when the file does not have it */
    char path[OW_PATH_SIZE];
};

/* What a rule says of each item of a list. */
typedef void (*rule)(const struct thing *thing, int index);

static struct thing part_of(const struct thing *whole, const char *key)
{
    struct thing part = *whole;
    size_t size = strlen(part.path);
    snprintf(part.path + size, sizeof part.path - size, "%s%s", size == 0 ? "" : ".", key);
    part.node = cJSON_GetObjectItemCaseSensitive(whole->node, key);
    return part;
}

/* Tries a rule on the first `count` items of a list; `count` is 0 where the list was faulty. */
static void for_each(const struct thing *garden, const char *list, int count, rule try)
{
    struct thing whole = part_of(garden, list);
    struct thing item = whole;
    item.node = whole.node == NULL ? NULL : whole.node->child;
    for (int i = 0; i < count; i++) {
        snprintf(item.path, sizeof item.path, "%s[%d]", list, i);
        try(&item, i);
        item.node = item.node->next;
    }
}

static bool has(const struct thing *thing, const char *key)
{
    return cJSON_GetObjectItemCaseSensitive(thing->node, key) != NULL;
}

/* Does the file itself say this word? A faulty word is told already and judged no further. */
static bool says(const struct thing *thing, const char *key, const char *word)
{
    const cJSON *node = cJSON_GetObjectItemCaseSensitive(thing->node, key);
    return cJSON_IsString(node) && strcmp(node->valuestring, word) == 0;
}

/* The place in the text of a key of the thing, or of the thing itself when it is not there. */
static size_t place_of(const struct thing *thing, const char *key)
{
    const cJSON *node = cJSON_GetObjectItemCaseSensitive(thing->node, key);
    const ow_position *position =
        ow_position_of(thing->reader->positions, node != NULL ? node : thing->node);
    return position == NULL ? 0 : position->value_at;
}

static void fault(const struct thing *thing, const char *key, const char *format, ...)
    OW_PRINTF(3, 4);

/* One fault at a key of the thing; the message begins with the thing's path. */
static void fault(const struct thing *thing, const char *key, const char *format, ...)
{
    char message[400];
    va_list args;
    va_start(args, format);
    vsnprintf(message, sizeof message, format, args);
    va_end(args);
    ow_fault_add(thing->reader->faults, place_of(thing, key), "%s%s%s", thing->path,
                 thing->path[0] == '\0' || message[0] == ' ' ? "" : ".", message);
}

static void advise(const struct thing *thing, const char *key, const char *text)
{
    ow_advice_add(thing->reader->faults, place_of(thing, key), "%s%s%s %s", thing->path,
                  key[0] == '\0' ? "" : ".", key, text);
}

/* ---- plants ---------------------------------------------------------------------------------- */

static void check_soil(const struct thing *holder, const ow_soil *soil)
{
    const ow_medium *medium = &soil->measured.medium;
    struct thing part = part_of(holder, "medium");
    bool share = has(&part, "water_fraction"), heat = has(&part, "latent_j_m3");
    if (has(&part, "thawed_w_mk") && share == heat) {
        fault(&part, "", " %s",
              share ? "has both water_fraction and latent_j_m3; give one"
                    : "lacks water_fraction (or latent_j_m3)");
    }
    if (medium->frozen_w_mk < medium->thawed_w_mk) {
        fault(&part, "frozen_w_mk",
              "frozen_w_mk is %.10g, below thawed_w_mk %.10g; ice conducts "
              "better than water",
              medium->frozen_w_mk, medium->thawed_w_mk);
    }
}

/* Of what a pot holds: thinner cells than its would be no model of anything. */
static const double LEAST_ACROSS_MM = 20.0;

static void check_pot(const struct thing *plant, const ow_pot *pot)
{
    struct thing part = part_of(plant, "pot");
    bool tray = pot->stands_on == OW_BASE_TRAY && isnan(pot->base_r_m2k_w);
    double walls_mm = pot->diameter_mm - 2000.0 * ow_pot_radius_m(pot);
    check_soil(&part, &pot->soil);
    if (pot->diameter_mm < walls_mm + LEAST_ACROSS_MM) {
        fault(&part, "diameter_mm",
              "diameter_mm is %.10g; its walls take %.10g mm of it, so that it must be at least "
              "%.10g; give it as measured outside",
              pot->diameter_mm, walls_mm, walls_mm + LEAST_ACROSS_MM);
    }
    if (tray && !has(&part, "tray_mm")) {
        fault(&part, "stands_on",
              " stands on a tray of water but lacks tray_mm (water in a tray "
              "is 5 to 300 mm deep)");
    }
    if (!tray && has(&part, "tray_mm")) {
        fault(&part, "tray_mm", "tray_mm goes with stands_on \"tray of water\" only; take it out");
    }
}

static void check_rooting(const struct thing *thing, const ow_plant *plant)
{
    bool pot = has(thing, "pot"), bed = has(thing, "bed");
    if (pot == bed) {
        fault(thing, "",
              pot ? " has both pot and bed; a plant stands in one of them"
                  : " lacks pot (or bed); a plant stands in one of them");
    }
    if (plant->pot.given) {
        check_pot(thing, &plant->pot);
    }
    if (plant->bed.given) {
        struct thing part = part_of(thing, "bed");
        check_soil(&part, &plant->bed.soil);
    }
}

static void check_trunk(const struct thing *plant, const ow_trunk *trunk)
{
    struct thing part = part_of(plant, "trunk");
    if (trunk->growing_point_mm >= trunk->height_mm) {
        fault(&part, "growing_point_mm",
              "growing_point_mm is %.10g; the trunk is only %.10g mm "
              "high",
              trunk->growing_point_mm, trunk->height_mm);
    }
}

static void check_own_limits(const struct thing *plant, const ow_own_limits *limits)
{
    struct thing part = part_of(plant, "limits");
    for (int i = 0; i < OW_PARTS; i++) {
        const ow_own_limit *limit = &limits->part[i];
        struct thing of = part_of(&part, ow_part_name((ow_part)i));
        if (limit->killed_c > limit->damaged_c) {
            fault(&of, "killed_c",
                  "killed_c is %.10g, warmer than damaged_c %.10g; a part is "
                  "damaged before it is killed",
                  limit->killed_c, limit->damaged_c);
        }
    }
    if (limits->drought.may_die_days < limits->drought.suffers_days) {
        struct thing of = part_of(&part, "drought");
        fault(&of, "may_die_days",
              "may_die_days is %.10g, less than suffers_days %.10g; a plant "
              "suffers before it dies",
              limits->drought.may_die_days, limits->drought.suffers_days);
    }
}

static bool limits_say_something(const ow_own_limits *limits)
{
    bool any = limits->drought.given;
    for (int i = 0; i < OW_PARTS; i++) {
        any = any || limits->part[i].given;
    }
    return any;
}

/* The names nearest to an unknown taxon, "" when none is near. */
static const char *near_taxa(const struct thing *thing, const char *taxon, char *out, size_t size)
{
    const char *near_names[OW_NEAREST];
    size_t n = 0, used = 0;
    /* a garbled file must not take minutes over near names */
    if (thing->reader->faults->count < OW_FAULTS_WITH_NEAREST) {
        n = ow_taxon_nearest(taxon, near_names);
    }
    out[0] = '\0';
    for (size_t i = 0; i < n && used < size; i++) {
        int more = snprintf(out + used, size - used, "%s\"%s\"", i == 0 ? "the nearest is " : ", ",
                            near_names[i]);
        used += more < 0 ? 0 : (size_t)more;
    }
    return out;
}

static void unknown_taxon(const struct thing *thing, const char *taxon)
{
    char shown[OW_SHOWN_SIZE], near_names[256];
    near_taxa(thing, taxon, near_names, sizeof near_names);
    fault(thing, "taxon", "taxon is \"%s\", which is not known; %s%sgive the plant limits",
          ow_shown(shown, taxon), near_names, near_names[0] == '\0' ? "" : "; or ");
}

static void taxon_by_genus(const struct thing *thing, const char *taxon)
{
    char text[400], shown[OW_SHOWN_SIZE], near_names[256];
    near_taxa(thing, taxon, near_names, sizeof near_names);
    snprintf(text, sizeof text,
             "is \"%s\", which is not in the table; the most tender limits of its genus stand for "
             "it%s%s",
             ow_shown(shown, taxon), near_names[0] == '\0' ? "" : "; ", near_names);
    advise(thing, "taxon", text);
}

static void check_taxon(const struct thing *thing, const ow_plant *plant)
{
    bool own = limits_say_something(&plant->limits);
    const ow_taxon *taxon;
    bool by_genus;
    if (plant->taxon == NULL) {
        if (!own && !has(thing, "taxon")) {
            fault(thing, "", " lacks taxon (or limits of its own)");
        }
        return;
    }
    if (ow_taxon_find(plant->taxon, &taxon, &by_genus) != OW_OK && !own) {
        unknown_taxon(thing, plant->taxon);
    }
    if (plant->by_genus) {
        taxon_by_genus(thing, plant->taxon);
    }
}

static void check_plant(const struct thing *thing, int index)
{
    const ow_plant *plant = &thing->garden->plants[index];
    check_taxon(thing, plant);
    check_rooting(thing, plant);
    check_trunk(thing, &plant->trunk);
    check_own_limits(thing, &plant->limits);
}

/* ---- stocks ---------------------------------------------------------------------------------- */

static void check_cover(const struct thing *thing, int index)
{
    const ow_garden *garden = thing->garden;
    int worn = 0;
    for (int i = 0; i < garden->plant_count; i++) {
        const ow_refs *wearing = &garden->plants[i].wearing;
        for (int k = 0; k < wearing->count; k++) {
            worn += wearing->item[k].at == index ? 1 : 0;
        }
    }
    if (garden->covers[index].count > 0 && worn > garden->covers[index].count) {
        fault(thing, "count", "count is %d, but plants wear %d of them at the start",
              garden->covers[index].count, worn);
    }
}

static void check_place(const struct thing *thing, int index)
{
    const ow_garden *garden = thing->garden;
    int standing = 0;
    for (int i = 0; i < garden->plant_count; i++) {
        standing += garden->plants[i].place.at == index ? 1 : 0;
    }
    if (has(thing, "room_for") && standing > garden->places[index].room_for) {
        advise(thing, "room_for",
               "is less than the plants that stand there; none will be sent "
               "there");
    }
}

/* ---- topics ---------------------------------------------------------------------------------- */

static bool same(const char *left, const char *right)
{
    return left != NULL && right != NULL && strcmp(left, right) == 0;
}

static bool in_own_tree(const ow_garden *garden, const char *topic)
{
    char tree[700];
    if (garden->root == NULL || garden->id == NULL) {
        return false;
    }
    snprintf(tree, sizeof tree, "%s/5/%s", garden->root, garden->id);
    size_t size = strlen(tree);
    return strncmp(topic, tree, size) == 0 && (topic[size] == '\0' || topic[size] == '/');
}

/* `own_output`: the output whose command topic this is, -1 for a topic that is listened to. */
static void check_topic(const struct thing *thing, const char *topic, int own_output)
{
    const ow_garden *garden = thing->garden;
    if (topic == NULL) {
        return;
    }
    if (in_own_tree(garden, topic)) {
        fault(thing, "topic", "topic lies in the garden's own tree %s/5/%s/; take another",
              garden->root, garden->id);
    }
    for (int i = 0; i < garden->output_count; i++) {
        bool earlier = own_output < 0 || i < own_output;
        if (!earlier || !same(topic, garden->outputs[i].topic)) {
            continue;
        }
        fault(thing, "topic",
              own_output < 0 ? "topic is where commands to outputs[%d] go; what is "
                               "listened to must be another"
                             : "topic is that of outputs[%d] too; each output "
                               "needs its own",
              i);
        return;
    }
}

static void check_glasshouses(const struct thing *whole)
{
    int n = 0;
    for (int i = 0; i < whole->garden->place_count; i++) {
        n += whole->garden->places[i].kind == OW_PLACE_GLASSHOUSE;
    }
    if (n > OW_GLASSHOUSES) {
        fault(whole, "places",
              "places has %d glasshouses; there may be at most %d; write two gardens, or houses "
              "that are alike as one",
              n, OW_GLASSHOUSES);
    }
}

static void check_whole(const struct thing *whole)
{
    check_glasshouses(whole);
    const char *root = whole->garden->root;
    struct thing forecast = part_of(whole, "forecast");
    check_topic(&forecast, whole->garden->forecast.topic, -1);
    struct thing tariff = part_of(whole, "tariff"), prices = part_of(&tariff, "prices");
    check_topic(&prices, whole->garden->tariff.prices.topic, -1);
    if (root != NULL && root[0] != '\0' && (root[0] == '/' || root[strlen(root) - 1] == '/')) {
        fault(whole, "root", "root is \"%s\"; it must not begin or end with /", root);
    }
}

/* ---- outputs --------------------------------------------------------------------------------- */

/* A reference to a reading must be to one that measures the right thing. */
static void check_measures(const struct thing *thing, const char *key, const ow_ref *ref,
                           ow_measures wanted)
{
    const ow_reading *reading = ref->at < 0 ? NULL : &thing->garden->readings[ref->at];
    if (reading != NULL && reading->measures != wanted) {
        fault(thing, key, "%s is \"%s\", which measures %s; it must measure %s", key, ref->id,
              ow_measures_name(reading->measures), ow_measures_name(wanted));
    }
}

static void check_different(const struct thing *thing, const char *left_key, const char *left,
                            const char *right_key, const char *right)
{
    if (same(left, right)) {
        fault(thing, right_key, "%s is the same as %s; they must differ", right_key, left_key);
    }
}

/* An end contact that is still to come: let pass while the drive is only rehearsed. */
static void check_end(const struct thing *thing, const char *key, const ow_ref *ref, bool armed)
{
    char shown[OW_SHOWN_SIZE];
    const char *nearest;
    if (ref->id == NULL || ref->at >= 0) {
        check_measures(thing, key, ref, OW_MEASURES_CONTACT);
        return;
    }
    if (!armed) {
        advise(thing, key,
               "names an end contact that no reading gives yet; the drive is only "
               "rehearsed");
        return;
    }
    nearest = ow_reference_nearest(thing->reader, OW_GROUP_READING, ref->id);
    fault(thing, key, "%s is \"%s\"; no reading has that id%s%s%s", key, ow_shown(shown, ref->id),
          nearest == NULL ? "" : "; the nearest is \"", nearest == NULL ? "" : nearest,
          nearest == NULL ? "" : "\"");
}

static bool out_of_doors(const ow_place *place)
{
    return place->kind != OW_PLACE_GLASSHOUSE && place->kind != OW_PLACE_INDOORS;
}

static void check_heater(const struct thing *thing, const ow_output *heater)
{
    const ow_garden *garden = thing->garden;
    struct thing reported = part_of(thing, "reported");
    if (heater->place.at >= 0 && out_of_doors(&garden->places[heater->place.at])) {
        fault(thing, "place",
              "place is \"%s\", which is out of doors; a heater serves a "
              "glasshouse or a place indoors",
              heater->place.id);
    }
    if (heater->too_warm_c <= heater->keep_air_above_c) {
        fault(thing, has(thing, "too_warm_c") ? "too_warm_c" : "keep_air_above_c",
              "too_warm_c is %.10g; it must be above keep_air_above_c %.10g", heater->too_warm_c,
              heater->keep_air_above_c);
    }
    if (heater->set_back_c > heater->keep_air_above_c) {
        fault(thing, "set_back_c",
              "set_back_c is %.10g; it must not be above keep_air_above_c %.10g",
              heater->set_back_c, heater->keep_air_above_c);
    }
    if (heater->circuit.at >= 0 && heater->watts > garden->circuits[heater->circuit.at].max_watts) {
        fault(thing, "watts", "watts is %.10g; its circuit \"%s\" carries %.10g W", heater->watts,
              heater->circuit.id, garden->circuits[heater->circuit.at].max_watts);
    }
    check_measures(thing, "power", &heater->power, OW_MEASURES_POWER);
    for (int i = 0; i < heater->blocked_while_open.count; i++) {
        check_measures(thing, "blocked_while_open", &heater->blocked_while_open.item[i],
                       OW_MEASURES_CONTACT);
    }
    check_different(thing, "on", heater->on, "off", heater->off);
    check_different(&reported, "on", heater->reported.on, "off", heater->reported.off);
}

static bool measures_any(const ow_garden *garden, ow_measures what)
{
    bool any = false;
    for (int i = 0; i < garden->reading_count; i++) {
        any |= garden->readings[i].measures == what;
    }
    return any;
}

/* What a cloth never moves without. */
static void advise_drive(const struct thing *thing, const ow_output *drive)
{
    const ow_garden *garden = thing->garden;
    int place = drive->place.at;
    bool roofed = place >= 0 && (garden->places[place].kind == OW_PLACE_GLASSHOUSE ||
                                 garden->places[place].kind == OW_PLACE_INDOORS);
    if (!drive->cautions_read || !has(thing, "off_by_itself_s")) {
        return; /* it is only rehearsed */
    }
    if (!measures_any(garden, OW_MEASURES_WIND)) {
        advise(thing, "", "never moves, since no reading measures wind");
    } else if (!roofed && !measures_any(garden, OW_MEASURES_RAIN)) {
        advise(thing, "", "never moves, since no reading measures rain and a wet cloth must stay");
    }
}

static void check_drive(const struct thing *thing, const ow_output *drive)
{
    advise_drive(thing, drive);
    check_end(thing, "closed_end", &drive->closed_end, drive->cautions_read);
    check_end(thing, "open_end", &drive->open_end, drive->cautions_read);
    if (drive->closed_end.at >= 0 && drive->closed_end.at == drive->open_end.at) {
        fault(thing, "open_end", "open_end is the same as closed_end; they must differ");
    }
    check_different(thing, "close", drive->close, "open", drive->open);
    check_different(thing, "close", drive->close, "stop", drive->stop);
    check_different(thing, "open", drive->open, "stop", drive->stop);
}

static void check_commanding(const struct thing *thing, const ow_output *output)
{
    if (output->off_by_itself_s < output->lease_s) {
        fault(thing, "off_by_itself_s",
              "off_by_itself_s is %.10g; it must be at least lease_s "
              "%.10g",
              output->off_by_itself_s, output->lease_s);
    }
    if (!output->cautions_read) {
        advise(thing, "", "is only rehearsed, since cautions_read is not true");
    } else if (!has(thing, "off_by_itself_s")) {
        advise(thing, "", "is only rehearsed, since it has no off_by_itself_s");
    }
}

/* What one device says of itself must not be taken for another's word. */
static void check_reported(const struct thing *thing, int index)
{
    const ow_output *outputs = thing->garden->outputs;
    struct thing reported = part_of(thing, "reported");
    check_topic(&reported, outputs[index].reported.topic, -1);
    for (int i = 0; i < index; i++) {
        if (same(outputs[index].reported.topic, outputs[i].reported.topic)) {
            fault(&reported, "topic",
                  "topic is that of outputs[%d] too; each output reports on its own", i);
            return;
        }
    }
}

static void check_output(const struct thing *thing, int index)
{
    const ow_output *output = &thing->garden->outputs[index];
    check_topic(thing, output->topic, index);
    check_reported(thing, index);
    if (says(thing, "kind", ow_output_kind_name(output->kind))) {
        check_commanding(thing, output);
        (output->kind == OW_OUTPUT_HEATER ? check_heater : check_drive)(thing, output);
    }
}

/* ---- the rest -------------------------------------------------------------------------------- */

static void check_reading(const struct thing *thing, int index)
{
    const ow_reading *reading = &thing->garden->readings[index];
    check_topic(thing, reading->topic, -1);
    check_different(thing, "open", reading->open, "shut", reading->shut);
}

/* Could what is announced be taken for a command, or for what is listened to? */
static bool may_clash(const ow_garden *g, const char *topic)
{
    const char *prices = g->tariff.prices.topic;
    bool clash = g->forecast.topic != NULL && ow_template_may_be(topic, g->forecast.topic);
    clash |= prices != NULL && ow_template_may_be(topic, prices);
    for (int i = 0; i < g->output_count; i++) {
        const ow_output *o = &g->outputs[i];
        clash |= o->topic != NULL && ow_template_may_be(topic, o->topic);
        clash |= o->reported.topic != NULL && ow_template_may_be(topic, o->reported.topic);
    }
    for (int i = 0; i < g->reading_count; i++) {
        clash |= g->readings[i].topic != NULL && ow_template_may_be(topic, g->readings[i].topic);
    }
    return clash;
}

static void check_placeholders(const struct thing *thing, const char *key, const char *text, int n)
{
    char word[64], choices[300];
    size_t used = 0;
    if (!ow_template_unknown(text, n, word, sizeof word)) {
        return;
    }
    for (int i = 0; i < n; i++) {
        used += (size_t)snprintf(choices + used, sizeof choices - used, "%s{%s}", i > 0 ? ", " : "",
                                 ow_placeholder_name(i));
    }
    fault(thing, key, "%s has %s; the placeholders there are %s", key, word, choices);
}

static void check_announcement(const struct thing *thing, int index)
{
    const ow_announcement *a = &thing->garden->announcements[index];
    const ow_garden *g = thing->garden;
    char tree[700];
    if (a->topic == NULL || a->text == NULL) {
        return;
    }
    snprintf(tree, sizeof tree, "%s/5/%s/", g->root != NULL ? g->root : "",
             g->id != NULL ? g->id : "");
    check_placeholders(thing, "topic", a->topic, OW_FILLS_OF_TOPIC);
    check_placeholders(thing, "text", a->text, OW_FILLS);
    if (!ow_template_has(a->topic, OW_FILL_THING) ||
        (a->property == NULL && !ow_template_has(a->topic, OW_FILL_PROPERTY))) {
        fault(thing, "topic", "topic lacks {thing}%s; else one would overwrite the other",
              a->property == NULL ? " or {property}" : "");
    } else if (ow_template_may_begin(a->topic, tree)) {
        fault(thing, "topic", "topic may lie in the garden's own tree %s; take another", tree);
    } else if (may_clash(g, a->topic)) {
        fault(thing, "topic",
              "topic may be that of a command, a report, a reading or the forecast; take another");
    }
}

static void check_broker(const struct thing *whole)
{
    struct thing broker = part_of(whole, "broker");
    if (has(&broker, "password_file") && !has(&broker, "user")) {
        fault(&broker, "password_file", " has a password_file but lacks user");
    }
    if (has(&broker, "cert_file") != has(&broker, "key_file")) {
        fault(&broker, has(&broker, "cert_file") ? "cert_file" : "key_file",
              " must have cert_file and key_file together");
    }
    if (has(&broker, "cert_file") && !has(&broker, "ca_file")) {
        fault(&broker, "cert_file",
              " has a cert_file but lacks ca_file, without which there is "
              "no TLS");
    }
}

void ow_garden_check(const ow_key_reader *reader, const ow_garden *garden)
{
    struct thing whole = {.reader = reader, .garden = garden, .node = reader->positions->root};
    for_each(&whole, "places", garden->place_count, check_place);
    for_each(&whole, "covers", garden->cover_count, check_cover);
    for_each(&whole, "plants", garden->plant_count, check_plant);
    for_each(&whole, "readings", garden->reading_count, check_reading);
    for_each(&whole, "outputs", garden->output_count, check_output);
    for_each(&whole, "announce", garden->announcement_count, check_announcement);
    check_whole(&whole);
    check_broker(&whole);
}
