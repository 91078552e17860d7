#include "commands.h"
#include "interruption.h"
#include "inventory/inventory.h"
#include "page/server.h"

#include <signal.h>
#include <spawn.h>
#include <string.h>

extern char **environ;

struct page_command {
    int port;
    bool no_browser;
    const char *phone_on;
    const char *inventory;
};

static const struct option page_options[] = {
    OPTION_BETWEEN(struct page_command, port, 1, 65535, "port", "N",
                   "where to listen; any free port if not told"),
    OPTION_SWITCH(struct page_command, no_browser, "no-browser", "only print the address"),
    OPTION(struct page_command, phone_on, "phone-on", "ADDRESS",
           "of this computer, for photos from a phone, if it is not found"),
    COMMANDS_INVENTORY_OPTION(struct page_command),
    {0}};

/* What the page shows of an empty inventory is how to fill it, so it is made at once. */
static enum status make_inventory(const char *given, char path[INVENTORY_PATH_SIZE],
                                  struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status = inventory_location(given, path, error);

    if (!status)
        status = inventory_open(path, INVENTORY_CREATE, &inventory, error);
    inventory_close(inventory);
    return status;
}

/* The browser is told the address as a word of its own: no shell reads it. */
static void open_browser(const char *address)
{
    char program[] = "xdg-open", word[PAGE_ADDRESS_SIZE];
    char *words[] = {program, word, NULL};
    posix_spawnattr_t attributes;
    sigset_t none;
    pid_t process;

    snprintf(word, sizeof word, "%s", address);
    sigemptyset(&none);
    posix_spawnattr_init(&attributes);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    if (posix_spawnp(&process, program, NULL, &attributes, words, environ) != 0)
        fputs("woad: no browser could be opened; open the address yourself\n", stderr);
    posix_spawnattr_destroy(&attributes);
}

static void say_address(const struct page *page, bool no_browser)
{
    char address[PAGE_ADDRESS_SIZE];

    page_address(page, address);
    printf("%s\n", address);
    fflush(stdout);
    fputs("woad: the page is open until this program ends: Ctrl-C ends it\n", stderr);
    if (!no_browser)
        open_browser(address);
}

/* Signals are held back before the server's threads begin, which inherit that. */
static enum status serve(struct server *server, struct page *page,
                         const struct page_command *settings, struct error *error)
{
    enum status status;

    interruption_hold();
    status = server_begin(server, page, settings->phone_on, error);
    if (!status) {
        say_address(page, settings->no_browser);
        while (!interruption_wait())
            page_tick(page);
    }
    return status;
}

static enum status show_page(const struct page_command *settings, const struct card cards[],
                             struct error *error)
{
    char path[INVENTORY_PATH_SIZE];
    struct page_settings page_settings = {path, settings->port, {&cards[0], &cards[1]}, NULL};
    struct server *server = NULL;
    struct page *page = NULL;
    enum status status = make_inventory(settings->inventory, path, error);

    if (!status)
        status = server_listen(&page_settings.port, &server, error);
    if (!status)
        status = page_create(&page_settings, &page, error);
    if (!status)
        status = serve(server, page, settings, error);
    if (server)
        server_end(server);
    page_release(page);
    return status;
}

static int run_page(const struct command *command, int count, char **words)
{
    struct page_command settings = {0};
    struct card cards[PAGE_CARDS];
    struct error error;
    enum status status = options_parse(command, &count, words, &settings, &error);

    for (int i = 0; !status && i < PAGE_CARDS; i++)
        status = commands_read_card(commands_edition[i], &cards[i], &error);
    if (!status)
        status = show_page(&settings, cards, &error);
    return commands_report(status, &error);
}

const struct command command_page = {
    .name = "page",
    .operands = "",
    .summary = "all of it in the browser, on this machine: look, drop photos, click",
    .options = page_options,
    .run = run_page,
};
