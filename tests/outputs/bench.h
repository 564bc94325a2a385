/* SPDX-License-Identifier: MIT */
/* A heater and a drive on the test bench: settings that make sense and a world that permits. */
#ifndef OVERWINTER_TESTS_OUTPUTS_BENCH_H
#define OVERWINTER_TESTS_OUTPUTS_BENCH_H

#include "outputs/drive.h"
#include "outputs/heater.h"
#include "outputs/span.h"

static inline ow_heater_spec a_heater_spec(void)
{
    return (ow_heater_spec){.cautions_read = true,
                            .reports = true,
                            .measures_power = true,
                            .has_doors = true,
                            .on_circuit = true,
                            .watts = 2000,
                            .keep_mc = 3000,
                            .too_warm_mc = 20000,
                            .lease_ms = 300 * OW_S_MS,
                            .off_by_itself_ms = 600 * OW_S_MS,
                            .longest_run_ms = 180 * OW_MIN_MS,
                            .least_rest_ms = 5 * OW_MIN_MS,
                            .shortest_on_ms = 3 * OW_MIN_MS,
                            .shortest_off_ms = 2 * OW_MIN_MS,
                            .air_stale_ms = 30 * OW_MIN_MS,
                            .power_stale_ms = 5 * OW_MIN_MS,
                            .grace_ms = OW_GRACE_MS};
}

/* Cold enough to want heat, and nothing speaks against it. */
static inline ow_heater_inputs a_cold_night(void)
{
    return (ow_heater_inputs){.hosting = {.promises_off = true, .connected = true},
                              .air = {.known = true, .milli = 1000},
                              .power = {.known = true},
                              .doors = OW_CONTACT_SHUT,
                              .reported = OW_SAID_OFF,
                              .granted = true};
}

/* Off, rested, nothing holds; the next step on a cold night switches it on. */
static inline ow_heater a_ready_heater(uint32_t now_ms)
{
    return (ow_heater){.version = OW_HEATER_VERSION,
                       .state = OW_HEATER_OFF,
                       .last_ms = now_ms,
                       .in_state_ms = OW_H_MS,
                       .rested_ms = OW_H_MS,
                       .since_off_ms = OW_H_MS,
                       .off_sent = true,
                       .locks = {.since_event_ms = 24 * OW_H_MS}};
}

static inline ow_drive_spec a_drive_spec(void)
{
    return (ow_drive_spec){.cautions_read = true,
                           .has_closed_end = true,
                           .has_open_end = true,
                           .lease_ms = 20 * OW_S_MS,
                           .off_by_itself_ms = 60 * OW_S_MS,
                           .travel_ms = 45 * OW_S_MS,
                           .dead_ms = 2 * OW_S_MS,
                           .wind_max_milli = 9000,
                           .wind_stale_ms = 10 * OW_MIN_MS,
                           .starts_per_h = 6};
}

/* Still and dry, the cloth open and to be closed. */
static inline ow_drive_inputs a_still_evening(void)
{
    return (ow_drive_inputs){.hosting = {.promises_off = true, .connected = true},
                             .wind = {.known = true, .milli = 1000},
                             .closed_end = OW_CONTACT_OPEN,
                             .open_end = OW_CONTACT_SHUT,
                             .cloth = OW_CLOTH_DRY,
                             .wish = OW_WISH_CLOSE};
}

static inline ow_drive a_ready_drive(uint32_t now_ms)
{
    ow_drive drive = {.version = OW_DRIVE_VERSION,
                      .state = OW_DRIVE_OPEN,
                      .last_ms = now_ms,
                      .located = true,
                      .stop_sent = true,
                      .locks = {.since_event_ms = 24 * OW_H_MS}};
    for (int i = 0; i < OW_STARTS_MAX; i++) {
        drive.start_age_ms[i] = OW_H_MS;
    }
    return drive;
}

#endif
