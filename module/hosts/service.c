/* SPDX-License-Identifier: MIT */
#define _GNU_SOURCE /* SOCK_CLOEXEC */

#include "hosts/service.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

void ow_service_tell(const char *text)
{
    struct sockaddr_un to = {.sun_family = AF_UNIX};
    const char *path = getenv("NOTIFY_SOCKET");
    size_t length = path == NULL ? 0 : strlen(path);
    if (length < 2 || length >= sizeof to.sun_path || (path[0] != '/' && path[0] != '@')) {
        return;
    }
    memcpy(to.sun_path, path, length);
    if (path[0] == '@') {
        to.sun_path[0] = '\0'; /* an address that is no file */
    }
    int fd = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    if (fd < 0) {
        return;
    }
    socklen_t size = (socklen_t)(offsetof(struct sockaddr_un, sun_path) + length);
    /* A manager that does not listen is no reason to fail. */
    (void)!sendto(fd, text, strlen(text), MSG_DONTWAIT | MSG_NOSIGNAL, (const struct sockaddr *)&to,
                  size);
    close(fd);
}

void ow_service_alive(uint64_t real_ms)
{
    static uint64_t told_ms;
    if (real_ms - told_ms >= 1000) {
        told_ms = real_ms;
        ow_service_tell("WATCHDOG=1");
    }
}
