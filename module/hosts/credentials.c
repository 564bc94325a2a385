/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/credentials.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bool ow_is_loopback(const char *host)
{
    struct in_addr v4;
    bool is_v4 = inet_pton(AF_INET, host, &v4) == 1;
    return strcmp(host, "localhost") == 0 || strcmp(host, "::1") == 0 ||
           (is_v4 && ntohl(v4.s_addr) >> 24 == 127);
}

bool ow_wants_tls(const ow_link *link)
{
    return link->ca_file != NULL || link->cert_file != NULL || link->key_file != NULL;
}

ow_status ow_link_check(const ow_link *link, bool paced, const char *garden_file, ow_report *report)
{
    if (link == NULL || link->host == NULL) {
        ow_error(report,
                 "%s: names no broker; write one, such as \"broker\": { \"host\": \"127.0.0.1\" }",
                 garden_file);
        return OW_BAD_INPUT;
    }
    bool near = ow_is_loopback(link->host);
    if (paced && !near) {
        ow_error(report,
                 "%s: broker.host is \"%s\"; with --pace or --from it must be this machine "
                 "(127.0.0.1, ::1, localhost): no real device may be switched by a fast clock",
                 garden_file, link->host);
        return OW_BAD_INPUT;
    }
    if (link->user != NULL && !near && !ow_wants_tls(link)) {
        ow_say(report,
               "%s: advice: the password goes to %s in the clear; give broker.ca_file so that TLS "
               "hides it",
               garden_file, link->host);
    }
    return OW_OK;
}

static ow_status read_line(int fd, const char *path, ow_report *report, char *password)
{
    struct stat info;
    if (fstat(fd, &info) != 0 || !S_ISREG(info.st_mode)) {
        ow_error(report, "%s: is no regular file; put the password into one", path);
        return OW_BAD_INPUT;
    }
    if ((info.st_mode & OW_MODE_OTHERS) != 0) {
        ow_error(report,
                 "%s: has mode %03o, so others than its owner can reach the password; 600 or less is "
                 "allowed: chmod 600 it",
                 path, (unsigned)info.st_mode & 0777);
        return OW_BAD_INPUT;
    }
    ssize_t got = read(fd, password, OW_PASSWORD_MOST + 1);
    size_t length = got < 0 ? 0 : (size_t)got;
    const char *end = memchr(password, '\n', length);
    length = end != NULL ? (size_t)(end - password) : length;
    length -= length > 0 && password[length - 1] == '\r' ? 1 : 0;
    if (length == 0 || length > OW_PASSWORD_MOST || memchr(password, '\0', length) != NULL) {
        ow_error(report, "%s: its first line must be the password, 1 to %d bytes", path,
                 OW_PASSWORD_MOST);
        return OW_BAD_INPUT;
    }
    password[length] = '\0';
    return OW_OK;
}

ow_status ow_password_read(const char *path, ow_report *report,
                           char password[OW_PASSWORD_MOST + 1])
{
    /* Not blocking, so that a pipe under that name does not hold us up. */
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (fd < 0) {
        ow_error(report, "%s: cannot be read: %s; give the path of a password file that you may "
                         "read", path, strerror(errno));
        return OW_BAD_INPUT;
    }
    ow_status status = read_line(fd, path, report, password);
    close(fd); /* was only read */
    return status;
}
