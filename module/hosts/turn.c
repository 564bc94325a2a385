/* SPDX-License-Identifier: MIT */
#include "hosts/turn.h"

#include "hosts/clocks.h"
#include "hosts/service.h"

enum { LONGEST_WAIT_MS = 1000 }; /* the client wants a turn each second */

ow_signal ow_turn(ow_client *client, int signal_fd, uint64_t wait_ms)
{
    struct pollfd fds[2] = {[1] = {.fd = signal_fd, .events = POLLIN}};
    ow_client_poll(client, &fds[0]);
    int longest = wait_ms < LONGEST_WAIT_MS ? (int)wait_ms : LONGEST_WAIT_MS;
    if (poll(fds, 2, longest) < 0) {
        fds[1].revents = 0; /* interrupted: nothing of it is to be believed */
    }
    ow_client_serve(client, ow_real_ms());
    ow_service_alive(ow_real_ms());
    return (fds[1].revents & POLLIN) != 0 ? ow_signals_next(signal_fd) : OW_SIGNAL_NONE;
}

void ow_flush(ow_client *client, uint64_t limit_ms)
{
    uint64_t begun_ms = ow_real_ms();
    while (ow_client_up(client) && ow_client_unacknowledged(client) > 0 &&
           ow_real_ms() - begun_ms < limit_ms) {
        (void)ow_turn(client, -1, 20); /* -1: no signal can come */
    }
}
