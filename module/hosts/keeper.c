/* SPDX-License-Identifier: MIT */
#include "hosts/keeper.h"

#include <stdio.h>
#include <stdlib.h>

#include "hosts/season_log.h"

ow_status ow_keeper_open(ow_keeper *keeper, const char *dir, ow_report *report)
{
    *keeper = (ow_keeper){0};
    if (dir == NULL) {
        ow_say(report, "advice: the garden file gives no store, so heat, ice and frozen days are "
                       "forgotten at every stop; write \"store\": \"/var/lib/overwinter\"");
        return OW_OK;
    }
    return ow_store_open(dir, report, &keeper->store);
}

ow_status ow_keeper_go_live(ow_keeper *keeper, const ow_module *module, ow_engine *engine,
                            ow_now now, ow_report *report)
{
    if (keeper->store == NULL) {
        return module->go_live(engine, now, NULL, 0, report);
    }
    unsigned char *bytes = NULL;
    ow_snapshot kept = {0};
    ow_status status = ow_store_read(keeper->store, report, &bytes, &kept);
    if (status != OW_OK && status != OW_NOT_FOUND) {
        return status;
    }
    bool found = status == OW_OK;
    status = ow_store_writer_start(keeper->store, &keeper->writer);
    if (status == OW_OK) {
        status =
            module->go_live(engine, now, found ? kept.bytes : NULL, found ? kept.size : 0, report);
    }
    free(bytes);
    if (status == OW_OK) {
        keeper->worth = module->save_worth(engine);
        keeper->at_once = module->save_at_once(engine);
    }
    return status;
}

void ow_keeper_note(ow_keeper *keeper, int64_t utc_s, const char *subject, const char *event,
                    const char *detail)
{
    char *line = keeper->writer != NULL ? ow_season_line(utc_s, subject, event, detail) : NULL;
    if (line != NULL) {
        ow_store_writer_line(keeper->writer, line);
    }
    free(line);
}

static void hand_over(ow_keeper *keeper, const ow_module *module, const ow_engine *engine)
{
    void *bytes = NULL;
    size_t size = 0;
    if (module->save(engine, &bytes, &size) == OW_OK) {
        keeper->worth = module->save_worth(engine);
        keeper->at_once = module->save_at_once(engine);
        ow_store_writer_give(keeper->writer, bytes, size);
    }
}

static void tell(ow_keeper *keeper, const ow_store_news *news, const ow_host *host,
                 uint64_t real_ms)
{
    if (news->why[0] != '\0') {
        if (ow_complaint_due(&keeper->failing, real_ms)) {
            host->log(host->self, OW_LEVEL_ERROR, news->why);
        }
    } else if (news->written > 0 && ow_complaint_over(&keeper->failing)) {
        host->log(host->self, OW_LEVEL_INFO, "the state is kept again");
    }
    if (news->lost[0] != '\0') {
        if (ow_complaint_due(&keeper->losing, real_ms)) {
            host->log(host->self, OW_LEVEL_ERROR, news->lost);
        }
    } else if (news->logged > 0 && ow_complaint_over(&keeper->losing)) {
        host->log(host->self, OW_LEVEL_INFO, "the season log is written again");
    }
}

void ow_keeper_turn(ow_keeper *keeper, const ow_module *module, const ow_engine *engine,
                    const ow_host *host, uint64_t real_ms, uint64_t gap_ms)
{
    if (keeper->writer == NULL) {
        return;
    }
    ow_store_news news = ow_store_writer_news(keeper->writer);
    tell(keeper, &news, host, real_ms);
    /* What failed to be written is worth another try. */
    bool is_new = module->save_worth(engine) != keeper->worth || keeper->failing.stands;
    bool at_once = module->save_at_once(engine) != keeper->at_once;
    if (at_once || (is_new && real_ms >= keeper->next_ms)) {
        keeper->next_ms = real_ms + gap_ms;
        hand_over(keeper, module, engine);
    }
}

void ow_keeper_close(ow_keeper *keeper, const ow_module *module, const ow_engine *engine,
                     const ow_host *host)
{
    if (keeper->writer != NULL) {
        if (engine != NULL) {
            hand_over(keeper, module, engine);
        }
        ow_store_news news = ow_store_writer_close(keeper->writer);
        if (news.why[0] != '\0') {
            host->log(host->self, OW_LEVEL_ERROR, news.why);
        }
        if (news.lost[0] != '\0') {
            host->log(host->self, OW_LEVEL_ERROR, news.lost);
        }
    }
    if (keeper->store != NULL) {
        ow_store_close(keeper->store);
    }
    *keeper = (ow_keeper){0};
}
