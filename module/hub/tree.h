/* SPDX-License-Identifier: MIT */
/*
 * The garden on the hub: one device of the Homie convention, version 5, with a node a thing.
 * The tree holds every value and knows which ones the broker has yet to hear; the engine puts
 * values, flush hands them out. Nothing is published while not connected: when the link comes up
 * everything is published anew in the convention's boot order.
 *
 * Topics: <root>/5/<garden>/<node>/<property>, `$state`, `$description`, `$alert/<id>`,
 * `$log/<level>`; `$thing` is the Thing Description, `$thing-version` which one. A value not known
 * is cleared (an empty retained message), never NaN.
 */
#ifndef OVERWINTER_HUB_TREE_H
#define OVERWINTER_HUB_TREE_H

#include "garden/garden.h"
#include "overwinter.h"

typedef enum ow_node_kind {
    OW_NODE_PLANT,
    OW_NODE_HEATER,
    OW_NODE_DRIVE,
    OW_NODE_GARDEN,
    OW_NODE_MEMBER,
    OW_NODE_KINDS
} ow_node_kind;

/* Every property there is; which node kinds have it stands in tree.c's one table. */
typedef enum ow_prop {
    OW_PROP_STATE,
    OW_PROP_ALSO,
    OW_PROP_REASON,
    OW_PROP_REASON_CODE,
    OW_PROP_ACT_BY,
    OW_PROP_RISK,
    OW_PROP_QUALITY,
    OW_PROP_MEASURED_AT,
    OW_PROP_ROOT_MEAN,
    OW_PROP_ROOT_COLDEST,
    OW_PROP_ICE_SHARE,
    OW_PROP_FROZEN_DAYS,
    OW_PROP_FOLIAGE,
    OW_PROP_GROWING_POINT,
    OW_PROP_STORAGE,
    OW_PROP_PLACE,
    OW_PROP_WEARING,
    OW_PROP_DONE,
    OW_PROP_SEEN,
    OW_PROP_COURSE,
    OW_PROP_COMMAND,
    OW_PROP_BLOCKED_BY,
    OW_PROP_BLOCKED_CODE,
    OW_PROP_WOULD_SWITCH,
    OW_PROP_ENERGY,
    OW_PROP_POSITION,
    OW_PROP_RELEASE,
    OW_PROP_TONIGHT,
    OW_PROP_TONIGHT_CODE,
    OW_PROP_NEXT_JOB,
    OW_PROP_JOBS,
    OW_PROP_BEAT,
    OW_PROP_TILE,
    OW_PROP_STOP,
    OW_PROP_NOTICES,
    OW_PROP_NOTICE,
    OW_PROP_NOTICED,
    OW_PROPS
} ow_prop;

typedef struct ow_tree ow_tree;

/* A place in the tree: node kind, index of the thing in its list of the garden, property. */
typedef struct ow_slot {
    ow_node_kind kind;
    int index;
    ow_prop prop;
} ow_slot;

/* Builds the tree of a garden, all values unknown. The garden must outlive it. OW_NO_MEMORY. */
OW_CHECK ow_status ow_tree_new(const ow_garden *garden, ow_tree **tree);
void ow_tree_free(ow_tree *tree);

/* A property of a node as it is described; texts live as long as the tree. */
typedef struct ow_tree_entry {
    ow_slot slot;
    const char *topic;      /* of its value */
    const char *below;      /* the same below the device's: "lemon/state" */
    const char *thing_name; /* of the node, for people */
    const char *id, *name, *datatype, *unit; /* unit NULL: none */
    bool settable;
} ow_tree_entry;

/* How many there are, and the index-th. */
size_t ow_tree_entries(const ow_tree *tree);
ow_tree_entry ow_tree_entry_at(const ow_tree *tree, size_t index);

/* The format of a property, the caller's to free; NULL: it has none. */
char *ow_tree_format(const ow_tree *tree, ow_slot slot);

/* The id of a property, such as "root-mean". */
const char *ow_prop_id(ow_prop prop);

const char *ow_tree_state_topic(const ow_tree *tree);

/* Puts a value; NULL clears it. An unknown slot is ignored. OW_NO_MEMORY keeps the old value. */
OW_CHECK ow_status ow_tree_put(ow_tree *tree, ow_slot slot, const char *text);
/* Tells a value again at the next flush though it is the same: what a person said was heard. */
void ow_tree_again(ow_tree *tree, ow_slot slot);
/* The value that was put last; NULL: none. */
const char *ow_tree_value(const ow_tree *tree, ow_slot slot);
/* `$target` of a drive's position. */
OW_CHECK ow_status ow_tree_target(ow_tree *tree, int drive, const char *text);

/* Raises or replaces an alert by its id; NULL text clears it. OW_NO_MEMORY, OW_NOT_FOUND. */
OW_CHECK ow_status ow_tree_alert(ow_tree *tree, const char *id, const char *text);

/* The link came up: all is to be told anew, in boot order: $state init, $description, values,
 * alerts, subscriptions, $state ready. Follow with flush. */
void ow_tree_up(ow_tree *tree);

/* Hands out what is new, as long as the host takes it; the rest follows at the next flush. */
void ow_tree_flush(ow_tree *tree, const ow_host *host);

/*
 * The Thing Description is long and hardly ever changes, so the broker keeps beside it what it is
 * the version of (`$thing-version`, asked for with each connection). Heard: is this that version?
 * Say: hands it out where the broker has not told of this version since the link came up; to be
 * called some time after that.
 */
bool ow_tree_thing_heard(ow_tree *tree, const ow_message *message);
void ow_tree_thing_say(ow_tree *tree, const ow_host *host);

/* The link went down: nothing is said until the next up. */
void ow_tree_lost(ow_tree *tree);

/* Says `disconnected` and nothing more until the next up. */
void ow_tree_down(ow_tree *tree, const ow_host *host);

/* A line to `$log/<level>`, not retained. */
void ow_tree_log(ow_tree *tree, const ow_host *host, ow_level level, const char *line);

/* The slot that a topic commands (its property is settable and the topic ends in /set);
 * OW_NOT_FOUND for any other topic. */
OW_CHECK ow_status ow_tree_commanded(const ow_tree *tree, const char *topic, ow_slot *slot);

/* True when a topic lies below this device's own. */
bool ow_tree_owns(const ow_tree *tree, const char *topic);

/* The description as it is published; owned by the tree. */
const char *ow_tree_description(const ow_tree *tree);

#endif
