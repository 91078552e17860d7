#include "inventory_fixture.h"
#include "inventory/changes.h"
#include "inventory/print_setups.h"
#include "inventory/printed_sheets.h"
#include "page/page.h"

/* The page answers a request that is put into its hands: no socket is in these tests. */

enum { PORT = 8123 };
#define HOST "127.0.0.1:8123"

static struct page *page;
static char cookie[128]; /* as the browser sends it back */
static char token[40];   /* as views hand it to their forms */

static struct page_response ask(struct page_request request)
{
    struct page_response response;

    if (page_admit(page, &request, &response) != PAGE_BODY_REFUSED)
        page_answer(page, &request, &response);
    return response;
}

static struct page_request get(const char *target)
{
    return (struct page_request){
        .method = "GET", .target = target, .host = HOST, .cookie = cookie, .body_length = -1};
}

static struct page_request post(const char *target, const char *body)
{
    struct page_request request = get(target);

    request.method = "POST";
    request.body = body;
    request.body_length = (long long)strlen(body);
    return request;
}

static void expect_status(struct page_request request, int status)
{
    struct page_response response = ask(request);

    assert_int_equal(response.status, status);
    page_response_release(&response);
}

static void expect_text(struct page_request request, const char *text)
{
    struct page_response response = ask(request);

    assert_non_null(response.body);
    assert_non_null(strstr(response.body, text));
    page_response_release(&response);
}

/* The way every browser takes: the opened address gives the cookie, a view the forms' token. */
static void open_as_a_browser(void)
{
    char address[PAGE_ADDRESS_SIZE];
    struct page_request request = get(NULL);
    struct page_response response;

    page_address(page, address);
    request.target = strchr(address + strlen("http://"), '/');
    request.cookie = NULL;
    response = ask(request);
    assert_int_equal(response.status, 303);
    assert_string_equal(response.location, "/");
    snprintf(cookie, sizeof cookie, "theme=1; %.*s", (int)strcspn(response.cookie, ";"),
             response.cookie);
    assert_non_null(strstr(response.cookie, "HttpOnly; SameSite=Strict"));
    page_response_release(&response);
}

/* --- a door for a phone that is none, and a clock that goes when it is told ------------------- */

static struct {
    long long now_s;
    int opened, shut;
} world;

static long long world_now_s(void)
{
    return world.now_s;
}

static int door_networks(void *data, struct page_network networks[PAGE_NETWORKS_MAX])
{
    (void)data;
    networks[0] = (struct page_network){"192.0.2.7", "wlan0"}; /* for documentation: RFC 5737 */
    networks[1] = (struct page_network){"198.51.100.7", "eth0"};
    return 2;
}

static enum status door_open(void *data, const char *address, int *port, struct error *error)
{
    (void)data;
    (void)error;
    assert_string_equal(address, "192.0.2.7");
    *port = 5000 + ++world.opened;
    return STATUS_OK;
}

static void door_shut(void *data)
{
    (void)data;
    world.shut++;
}

static int store_two_inks(void)
{
    static struct made made;
    struct inventory *inventory = open_inventory();

    make(&made, "a photo", 1, 2);
    store(inventory, &made.entry);
    inventory_close(inventory);
    return 0;
}

static void take_token(void)
{
    static const char before[] = "name=\"token\" value=\"";
    struct inventory *inventory = open_inventory();
    struct inventory_told told;
    struct error error;
    struct page_response response;
    const char *at;

    assert_int_equal(inventory_rename(inventory, "Ink 1", "Leek 3", &told, &error), STATUS_OK);
    inventory_close(inventory);
    response = ask(get("/history"));
    at = strstr(response.body, before);
    assert_non_null(at);
    snprintf(token, sizeof token, "%.32s", at + sizeof before - 1);
    page_response_release(&response);
}

static int open_page(void **state)
{
    static struct card card;
    const struct page_settings settings = {path, PORT, {&card, &card}, world_now_s};
    const struct page_door door = {door_networks, door_open, door_shut, NULL};
    struct error error;

    (void)state;
    store_two_inks();
    if (page_create(&settings, &page, &error))
        return -1;
    memset(&world, 0, sizeof world);
    world.now_s = 1000000;
    page_hang_door(page, &door);
    open_as_a_browser();
    take_token();
    return 0;
}

static int close_page(void **state)
{
    char photos[128];

    page_release(page);
    snprintf(photos, sizeof photos, "%s.photos", path);
    rmdir(photos);
    return remove_inventory(state);
}

/* --- who may ask ------------------------------------------------------------------------------ */

static void only_a_host_of_ours_with_its_port_is_answered_whatever_the_method(void **state)
{
    static const char *const others[] = {NULL,
                                         "",
                                         "127.0.0.1",
                                         "localhost",
                                         "LOCALHOST:8123",
                                         "localhost.:8123",
                                         "[::1]:8123",
                                         "127.0.0.2:8123",
                                         "127.0.0.1:80",
                                         "127.0.0.1:8123.",
                                         " 127.0.0.1:8123",
                                         "127.0.0.1:8123, seeds.example",
                                         "seeds.example:8123"};
    static const char *const methods[] = {"GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "X"};

    (void)state;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        for (size_t j = 0; j < sizeof methods / sizeof *methods; j++) {
            struct page_request request = get("/");

            request.host = others[i];
            request.method = methods[j];
            expect_status(request, 421);
        }
    expect_status(get("/"), 200);
    expect_status((struct page_request){.method = "GET",
                                        .target = "/",
                                        .host = "localhost:8123",
                                        .cookie = cookie,
                                        .body_length = -1},
                  200);
}

static void without_the_cookie_nothing_is_shown_not_even_the_style(void **state)
{
    static const char *const targets[] = {"/",     "/ink?name=Leek%203", "/style.css", "/revision",
                                          "/open", "/open?token=",       "/nothing"};
    char wrong[128];

    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
        struct page_request request = get(targets[i]);

        request.cookie = NULL;
        expect_status(request, 403);
        snprintf(wrong, sizeof wrong, "%s", cookie);
        wrong[strlen(wrong) - 1] = wrong[strlen(wrong) - 1] == '0' ? '1' : '0';
        request.cookie = wrong;
        expect_status(request, 403);
        request.cookie = "woad-8123=";
        expect_status(request, 403);
    }
}

static void a_wrong_token_in_the_address_gives_no_cookie(void **state)
{
    char address[PAGE_ADDRESS_SIZE];
    struct page_request request = get(NULL);
    struct page_response response;

    (void)state;
    page_address(page, address);
    request.cookie = NULL;
    request.target = strchr(address + strlen("http://"), '/');
    address[strlen(address) - 1] ^= 1;
    response = ask(request);
    assert_int_equal(response.status, 403);
    assert_string_equal(response.cookie, "");
    page_response_release(&response);
}

static void a_change_without_the_forms_token_is_refused_and_changes_nothing(void **state)
{
    char body[80];
    struct page_request request;

    (void)state;
    expect_status(post("/undo", ""), 403);
    expect_status(post("/undo", "token="), 403);
    expect_status(post("/undo", "token=00000000000000000000000000000000"), 403);
    expect_status(get("/undo"), 405);
    expect_text(get("/"), "Leek 3");
    snprintf(body, sizeof body, "token=%s", token);
    expect_status(post("/undo", body), 303);
    expect_text(get("/"), "Ink 1");
    request = post("/undo", "");
    request.token = token;       /* a script sends it in a header */
    expect_status(request, 409); /* there is nothing more to undo: but it was asked */
}

static void a_form_larger_than_any_and_one_without_a_length_are_refused_unread(void **state)
{
    struct page_request request = post("/undo", "");

    (void)state;
    request.body = NULL;
    request.body_length = 1024 * 1024 + 1;
    expect_status(request, 413);
    request.body_length = -1;
    expect_status(request, 411);
    request = get("/");
    request.body_length = 1;
    expect_status(request, 413);
}

static void no_path_comes_from_a_request(void **state)
{
    static const char *const targets[] = {"/../../etc/passwd",
                                          "//etc/passwd",
                                          "/style.css/",
                                          "/./style.css",
                                          "/%2e%2e/inventory.db",
                                          "/inventory.db",
                                          "style.css",
                                          "",
                                          "*",
                                          "http://127.0.0.1:8123/"};

    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++)
        expect_status(get(targets[i]), 404);
}

static void names_are_text_whatever_they_hold(void **state)
{
    struct page_response response = ask(get("/?find=%22%3E%3Cscript%3Ealert(1)%3C/script%3E"));

    (void)state;
    assert_int_equal(response.status, 200);
    assert_null(strstr(response.body, "<script>"));
    assert_non_null(strstr(response.body, "&quot;&gt;&lt;script&gt;"));
    page_response_release(&response);
    expect_status(get("/?find=%ff"), 400);
    expect_status(get("/?find=%00"), 200); /* ends the text there */
    expect_status(get("/?find=%0"), 200);  /* stands for itself */
}

static bool has_header(const char *name, const char *part)
{
    for (const struct page_header *header = page_headers; header->name; header++)
        if (strcmp(header->name, name) == 0)
            return strstr(header->value, part) != NULL;
    return false;
}

static void every_response_forbids_what_no_view_needs(void **state)
{
    (void)state;
    assert_true(has_header("Content-Security-Policy", "default-src 'self'"));
    assert_true(has_header("Content-Security-Policy", "frame-ancestors 'none'"));
    assert_false(has_header("Content-Security-Policy", "unsafe"));
    assert_true(has_header("X-Content-Type-Options", "nosniff"));
    assert_true(has_header("Referrer-Policy", "no-referrer"));
    assert_false(has_header("Access-Control-Allow-Origin", ""));
}

/* --- photos that come in ---------------------------------------------------------------------- */

static struct page_request put(const char *target, long long length)
{
    struct page_request request = get(target);

    request.method = "PUT";
    request.body_length = length;
    request.token = token;
    return request;
}

static void expect_refused(struct page_request request, int status)
{
    struct page_response response;

    assert_int_equal(page_admit(page, &request, &response), PAGE_BODY_REFUSED);
    assert_int_equal(response.status, status);
    page_response_release(&response);
}

static void a_photo_is_refused_before_it_is_read_if_it_may_not_come_in(void **state)
{
    struct page_request request = put("/photo?name=a.jpg", 1000);

    (void)state;
    request.token = NULL;
    expect_refused(request, 403);
    request.token = "00000000000000000000000000000000";
    expect_refused(request, 403);
    expect_refused(put("/photo?name=a.jpg", 256LL * 1024 * 1024 + 1), 413);
    expect_refused(put("/photo?name=a.jpg", -1), 411);
}

/* Send a photo as the server does; its view's address. */
static void hand_in(struct page_request request, const char *bytes, int status, char address[64])
{
    char photo[PAGE_PHOTO_SIZE];
    struct page_response response;
    FILE *file = NULL;

    assert_int_equal(page_admit(page, &request, &response), PAGE_BODY_FILE);
    assert_true(page_open_photo(page, &request, photo, &file, &response));
    fputs(bytes, file);
    fclose(file);
    request.photo = photo;
    page_answer(page, &request, &response);
    assert_int_equal(response.status, status);
    snprintf(address, 64, "%.*s", (int)response.length, response.body);
    page_response_release(&response);
}

static void send_photo(const char *target, const char *bytes, int status, char address[64])
{
    hand_in(put(target, (long long)strlen(bytes)), bytes, status, address);
}

static void clear_photos(void)
{
    char body[64];

    snprintf(body, sizeof body, "do=clear-all&token=%s", token);
    expect_status(post("/photos", body), 303);
}

static void what_is_no_photo_comes_in_and_is_said_to_be_none_until_it_is_cleared(void **state)
{
    char address[64], body[128];

    (void)state;
    send_photo("/photo?name=seeds%3Cb%3E.jpg", "no photo", 201, address);
    expect_text(get("/photos"), "seeds&lt;b&gt;.jpg");
    expect_text(get(address), "This photo can't be measured");
    snprintf(body, sizeof body, "do=keep&name=x&token=%s", token);
    expect_text(post(address, body), "is a text file");
    snprintf(body, sizeof body, "do=drop&token=%s", token);
    expect_status(post(address, body), 303);
    expect_status(get(address), 500);
    expect_text(get(address), "that photo is no longer here");
}

static void a_photo_without_a_plain_name_does_not_come_in(void **state)
{
    char address[64];
    struct page_response response;

    (void)state;
    send_photo("/photo?name=a%0Ab.jpg", "no photo", 400, address);
    response = ask(get("/photos"));
    assert_null(strstr(response.body, "/photo?id="));
    page_response_release(&response);
}

static void photos_are_found_by_their_ids_alone(void **state)
{
    static const char *const targets[] = {
        "/picture?id=", "/picture?id=../inventory", "/picture?id=0123456789abcdef/",
        "/picture?id=..%2F..%2Fetc%2Fpas", "/picture?id=0123456789ABCDEF"};

    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++)
        expect_status(get(targets[i]), 400);
    expect_text(get("/photo?id=../../../../../../etc/passwd"), "that photo is no longer here");
}

/* --- setting right ---------------------------------------------------------------------------- */

static void expect_told(const char *target, const char *fields, int status)
{
    char body[256];

    snprintf(body, sizeof body, "token=%s&%s", token, fields);
    expect_status(post(target, body), status);
}

static void each_of_several_charts_is_told_of_for_itself(void **state)
{
    char address[64];

    (void)state;
    send_photo("/photo?name=two.jpg", "no photo", 201, address);
    expect_told(address, "do=look&name=two.jpg&rows=1&columns=1&ink-1-1=Leek+3&batch=6", 303);
    expect_text(get(address), "woad measure two.jpg --names names.csv --batch 6");
    expect_told(address,
                "do=other-chart&name=two.jpg&rows=1&columns=1&ink-1-1=Leek+3&batch=6&which=2", 303);
    expect_text(get(address), "woad measure two.jpg --batch 6 --which 2");
    clear_photos();
}

static void an_ink_is_renamed_made_one_with_another_and_left_out(void **state)
{
    (void)state;
    expect_told("/ink?name=Leek%203", "do=rename&to=Kale+%26+%22Leek%22", 303);
    expect_text(get("/"), "Kale &amp; &quot;Leek&quot;");
    expect_told("/ink?name=Kale%20%26%20%22Leek%22", "do=rename&to=", 400);
    expect_told("/ink?name=Ghost", "do=rename&to=Beet", 409);
    expect_told("/ink?name=Kale%20%26%20%22Leek%22", "do=merge&to=Ink+2", 303);
    expect_status(get("/ink?name=Kale%20%26%20%22Leek%22"), 409);
    expect_told("/ink?name=Ink%202", "do=forget", 303);
    expect_text(get("/"), "No ink has a colour yet");
    expect_told("/undo", "", 303);
    expect_told("/undo", "", 303);
    expect_text(get("/"), "Kale &amp; &quot;Leek&quot;");
}

static void a_photo_is_amended_and_left_out(void **state)
{
    (void)state;
    expect_told("/history", "do=amend&photo=a+photo&batch=7&paper=laid&inked_at=2026-05-03+10:20",
                303);
    expect_text(get("/history"), "value=\"7\"");
    expect_text(get("/history"), "value=\"laid\"");
    expect_told("/history", "do=amend&photo=a+photo&inked_at=soon", 400);
    expect_told("/history", "do=forget&photo=a+photo", 303);
    expect_text(get("/"), "No ink has a colour yet");
}

static void a_form_shown_before_the_inventory_changed_changes_nothing(void **state)
{
    struct page_response before = ask(get("/revision"));
    char fields[128];

    (void)state;
    snprintf(fields, sizeof fields, "do=forget&revision=%.*s", (int)before.length, before.body);
    expect_told("/ink?name=Ink%202", "do=rename&to=Beet", 303); /* as another tab does */
    expect_told("/ink?name=Leek%203", fields, 409);
    expect_text(get("/"), "Leek 3");
    page_response_release(&before);
}

static void the_whole_inventory_is_given_out_as_a_file(void **state)
{
    struct page_response response = ask(get("/backup"));

    (void)state;
    assert_int_equal(response.status, 200);
    assert_memory_equal(response.body, "SQLite format 3", 16);
    assert_non_null(strstr(response.download, ".db"));
    page_response_release(&response);
}

/* --- what is shown ---------------------------------------------------------------------------- */

static void views_hold_neither_style_nor_script_of_their_own(void **state)
{
    static const char *const targets[] = {"/",    "/ink?name=Leek%203", "/history", "/photos",
                                          "/buy", "/batches",           "/blends",  "/maps"};

    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
        struct page_response response = ask(get(targets[i]));

        assert_int_equal(response.status, 200);
        assert_null(strstr(response.body, " style="));
        assert_null(strstr(response.body, "<style"));
        assert_null(strstr(response.body, " onclick"));
        assert_null(strstr(response.body, "<script>"));
        page_response_release(&response);
    }
}

static void the_wall_shows_the_inks_whose_name_holds_what_is_looked_for(void **state)
{
    struct page_response response = ask(get("/?find=lEEK"));

    (void)state;
    assert_non_null(strstr(response.body, "Leek 3"));
    assert_null(strstr(response.body, "Ink 2"));
    page_response_release(&response);
}

static void a_change_elsewhere_is_seen_by_another_revision(void **state)
{
    struct page_response before = ask(get("/revision"));
    struct page_response after;
    struct inventory *inventory = open_inventory();
    struct inventory_told told;
    struct error error;

    (void)state;
    expect_text(get("/revision"), before.body);
    assert_int_equal(inventory_undo(inventory, &told, &error), STATUS_OK);
    inventory_close(inventory);
    after = ask(get("/revision"));
    assert_string_not_equal(before.body, after.body);
    expect_text(get("/"), "Ink 1");
    page_response_release(&before);
    page_response_release(&after);
}

static void store_a_far_ink(void)
{
    static struct made made;
    struct inventory *inventory = open_inventory();

    make(&made, "another photo", 1, 1);
    snprintf(made.cells[0].ink, sizeof made.cells[0].ink, "Marigold 18");
    made.readings[0].lab = (struct lab){70, 30, 70};
    made.entry.chart = "another sheet";
    store(inventory, &made.entry);
    inventory_close(inventory);
}

static void what_to_buy_says_how_many_inks_are_served(void **state)
{
    (void)state;
    expect_text(get("/buy?count=1"), "With this one, 2 of the 2 inks are there or have a stand-in");
    store_a_far_ink();
    expect_text(get("/buy?count=1"), "With this one, 2 of the 3 inks");
    expect_text(get("/buy?count=1"), "Not served <span class=\"quiet\">1");
    expect_text(get("/buy?count=2"), "With these 2, 3 of the 3 inks");
    expect_text(get("/buy?count=x&within=-3"), "name=\"count\" min=\"1\" max=\"100\" value=\"6\"");
    expect_text(get("/buy"), "woad cover --count 6 --within 8");
}

static void what_one_made_is_logged_once_and_taken_out_again(void **state)
{
    (void)state;
    store_a_far_ink();
    expect_text(get("/blends?own1=leek+3&own2=Marigold+18"), "half way: ");
    expect_text(get("/blends?mood=contrast&ink=Leek+3"),
                "woad combine &#39;Leek 3&#39; --colours 3 --mood contrast");
    expect_told("/blends", "do=add&ink1=Leek+3&ink2=Marigold+18&mood=tonal", 303);
    expect_text(get("/blends"), "What you made <span class=\"quiet\">1");
    expect_told("/blends", "do=add&ink1=Marigold+18&ink2=Leek+3", 400);
    expect_told("/blends", "do=add&ink1=Marigold+18&ink2=marigold+18", 400);
    expect_told("/blends", "do=add&ink1=Marigold+18&ink2=Ghost", 409);
    expect_told("/blends", "do=add&ink1=Marigold+18", 400);
    expect_told("/blends", "do=forget&number=1", 303);
    expect_text(get("/blends"), "What you made <span class=\"quiet\">0");
    expect_told("/undo", "", 303);
    expect_text(get("/blends"), "What you made <span class=\"quiet\">1");
}

static void two_batches_are_judged_ink_by_ink(void **state)
{
    static struct made made;
    struct inventory *inventory = open_inventory();

    (void)state;
    expect_told("/history", "do=amend&photo=a+photo&batch=6", 303);
    make(&made, "the other batch", 1, 2);
    snprintf(made.cells[0].ink, sizeof made.cells[0].ink, "Leek 3");
    made.entry.batch = "7";
    made.readings[0].lab.L += 30;
    store(inventory, &made.entry);
    inventory_close(inventory);
    expect_text(get("/batches"), "Batches there are: 6, 7");
    expect_text(get("/batches?old=6&new=7"), "Leek 3: different");
    expect_text(get("/batches?old=6&new=7"), "Ink 2: ");
    expect_status(get("/batches?old=6&new=9"), 409);
}

static void maps_name_their_inks_and_lead_to_them(void **state)
{
    (void)state;
    expect_text(get("/maps"), "<a href=\"/ink?name=Leek%203\"><title>Leek 3</title><ellipse");
}

/* Take a sheet as the button of its view does. */
static struct page_response take_sheet(const char *target)
{
    static char body[64];

    snprintf(body, sizeof body, "token=%s", token);
    return ask(post(target, body));
}

static void each_kind_of_sheet_is_given_out_as_a_document(void **state)
{
    static const char *const targets[] = {"/sheet?kind=chart&page=a4",
                                          "/sheet?kind=window&rows=4&columns=3",
                                          "/sheet?kind=range&page=letter",
                                          "/sheet?kind=labels&stock=63.5x38.1&plain=1",
                                          "/sheet?kind=strip&ink1=Leek+3&ink2=Ink+2&duplex=1",
                                          "/sheet?kind=test&duplex=1"};

    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
        struct page_response response = take_sheet(targets[i]);

        assert_int_equal(response.status, 200);
        assert_memory_equal(response.body, "%PDF", 4);
        assert_non_null(strstr(response.download, ".pdf"));
        page_response_release(&response);
    }
    expect_told("/sheet?kind=labels&stock=none", "", 400);
    expect_told("/sheet?kind=../../etc/passwd", "", 400);
    expect_told("/sheet?kind=chart&rows=900", "", 400);
    expect_told("/sheet?kind=range&printer=Ghost", "", 409);
    expect_status(post("/sheet?kind=chart", "token=0"), 403);
}

static int sheets_kept(void)
{
    struct inventory *inventory = open_inventory();
    struct inventory_sheet sheet = {0};
    struct error error;
    int count = 0;

    do {
        inventory_sheet_release(&sheet);
        assert_int_equal(inventory_read_sheet(inventory, ++count, &sheet, &error), STATUS_OK);
    } while (sheet.number);
    inventory_sheet_release(&sheet);
    inventory_close(inventory);
    return count - 1;
}

static void looking_at_a_chart_gives_it_no_number_and_printing_it_does(void **state)
{
    struct page_response response;

    (void)state;
    response = ask(get("/sheet-picture?kind=chart&names=Juniper+1%0AJuniper+2"));
    assert_int_equal(response.status, 200);
    assert_string_equal(response.type, "image/svg+xml");
    assert_non_null(strstr(response.body, "<svg"));
    page_response_release(&response);
    assert_int_equal(sheets_kept(), 0);
    response = take_sheet("/sheet?kind=chart&names=Juniper+1%0AJuniper+2&title=New+ones");
    assert_int_equal(response.status, 200);
    page_response_release(&response);
    assert_int_equal(sheets_kept(), 1);
}

static void a_sheets_view_offers_what_is_kept_and_tells_the_command_line(void **state)
{
    const struct inventory_printer hall = {"Hall <b>", {1, 1}, {2, 3}, {0, 0}};
    struct inventory *inventory = open_inventory();
    struct error error;

    (void)state;
    assert_int_equal(inventory_keep_printer(inventory, &hall, &error), STATUS_OK);
    inventory_close(inventory);
    expect_text(get("/sheets"), "<option value=\"Hall &lt;b&gt;\">");
    expect_text(get("/sheets?kind=strip&ink1=Leek+3&ink2=Ink+2&duplex=1"),
                "woad sheet strip strip.pdf &#39;Leek 3&#39; &#39;Ink 2&#39; --duplex");
    expect_text(get("/sheets?kind=strip"), "Name the inks of one combination above");
    expect_text(get("/sheets?kind=chart&rows=3&page=a5"),
                "woad sheet chart chart.pdf --page a5 --rows 3");
    expect_text(get("/sheets?kind=window&x=%22%3E"), "action=\"/sheet?kind=window&amp;x=%22%3E\"");
}

static void an_ink_that_is_not_there_is_said(void **state)
{
    (void)state;
    expect_status(get("/ink?name=Ghost"), 409);
    expect_text(get("/ink?name=Ghost"), "there is no ink &#39;Ghost&#39;");
}

/* --- a phone ---------------------------------------------------------------------------------- */

static char way[64];           /* to the door, as the code on the screen tells it */
static char phone_cookie[128]; /* as the phone's browser sends it back */

static struct page_request by_phone(const char *method, const char *behind, long long length)
{
    static char target[160];

    snprintf(target, sizeof target, "%s%s", way, behind);
    return (struct page_request){.method = method,
                                 .target = target,
                                 .host = "192.0.2.7:5001",
                                 .cookie = phone_cookie,
                                 .body_length = length,
                                 .by_phone = true};
}

static void open_for_phone(void)
{
    char body[128];
    struct page_response response;
    const char *at;

    snprintf(body, sizeof body, "do=open&address=192.0.2.7&token=%s", token);
    expect_status(post("/phone", body), 303);
    response = ask(get("/phone"));
    at = strstr(response.body, "http://192.0.2.7:5001/");
    assert_non_null(at);
    snprintf(way, sizeof way, "%.33s", at + strlen("http://192.0.2.7:5001"));
    page_response_release(&response);
}

/* As the phone does that reads the code first. */
static void take_way(void)
{
    struct page_response response;

    phone_cookie[0] = '\0';
    response = ask(by_phone("GET", "", -1));
    assert_int_equal(response.status, 200);
    assert_non_null(strstr(response.cookie, "HttpOnly; SameSite=Strict"));
    snprintf(phone_cookie, sizeof phone_cookie, "%.*s", (int)strcspn(response.cookie, ";"),
             response.cookie);
    page_response_release(&response);
}

static void shut_for_phone(void)
{
    char body[128];

    snprintf(body, sizeof body, "do=shut&token=%s", token);
    expect_status(post("/phone", body), 303);
}

static void a_phone_is_let_in_by_the_way_it_was_told_and_gets_one_view(void **state)
{
    (void)state;
    expect_text(get("/phone"), "wireless: wlan0, 192.0.2.7");
    expect_text(get("/phone"), "by cable: eth0, 198.51.100.7");
    open_for_phone();
    take_way();
    expect_text(by_phone("GET", "", -1), "Send photos");
    expect_status(by_phone("HEAD", "", -1), 200);
    expect_status(by_phone("GET", "/phone.js", -1), 200);
    expect_status(by_phone("GET", "/page.js", -1), 404);
    expect_status(by_phone("GET", "/photos", -1), 404);
    expect_status(by_phone("GET", "/../photos", -1), 404);
    expect_status(by_phone("POST", "", 10), 405);
    expect_status(by_phone("DELETE", "/photo?name=a.jpg", -1), 404);
}

static void each_way_serves_the_browser_that_took_it_first_and_no_other(void **state)
{
    char first[sizeof phone_cookie];

    (void)state;
    open_for_phone();
    phone_cookie[0] = '\0';
    expect_status(by_phone("HEAD", "", -1), 403); /* looking ahead takes nothing */
    expect_status(by_phone("PUT", "/photo?name=a.jpg", 8), 403);
    take_way();
    snprintf(first, sizeof first, "%s", phone_cookie);
    expect_status(by_phone("GET", "", -1), 200);
    strcpy(phone_cookie, "woad-phone=00000000000000000000000000000000");
    expect_status(by_phone("GET", "", -1), 403);
    expect_status(by_phone("GET", "/phone.js", -1), 403);
    expect_status(by_phone("PUT", "/photo?name=a.jpg", 8), 403);
    phone_cookie[0] = '\0';
    expect_text(by_phone("GET", "", -1), "This code has been used already");
    world.opened = 0;
    open_for_phone(); /* a new code: the first phone is let in no more */
    strcpy(phone_cookie, first);
    expect_status(by_phone("PUT", "/photo?name=a.jpg", 8), 403);
}

static void by_the_door_neither_another_way_nor_another_host_is_answered(void **state)
{
    static const char *const ways[] = {"/", "/photos", "/0123456789abcdef0123456789abcdef", ""};
    static const char *const hosts[] = {NULL, "192.0.2.7", "192.0.2.7:5002", "127.0.0.1:5001",
                                        "seeds.example:5001"};
    struct page_request request;

    (void)state;
    open_for_phone();
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        request = by_phone("GET", "", -1);
        request.target = ways[i];
        expect_status(request, 404);
    }
    for (size_t i = 0; i < sizeof hosts / sizeof *hosts; i++) {
        request = by_phone("GET", "", -1);
        request.host = hosts[i];
        expect_status(request, 421);
    }
    request = by_phone("GET", "", -1);
    request.cookie = cookie;
    request.target = "/";
    expect_status(request, 404); /* the browser's own cookie opens nothing there */
}

/* The address of the photo that waits. */
static void waiting_photo(char address[64])
{
    struct page_response response = ask(get("/photos"));
    const char *at = strstr(response.body, "/photo?id=");

    assert_non_null(at);
    snprintf(address, 64, "%.26s", at);
    page_response_release(&response);
}

static void a_phones_photo_waits_in_the_list_and_is_measured_once_that_is_said(void **state)
{
    const long long too_much = 300LL * 1024 * 1024;
    char address[64];
    struct page_request request;

    (void)state;
    open_for_phone();
    take_way();
    expect_status(by_phone("PUT", "/photo?name=a.jpg", too_much), 413);
    expect_status(by_phone("PUT", "/photo?name=a.jpg", -1), 411);
    expect_status(by_phone("PUT", "/photos?name=a.jpg", 8), 405);
    request = by_phone("PUT", "/photo?name=IMG_1.jpg&changed=0", 8);
    hand_in(request, "no photo", 201, address);
    assert_string_equal(address, ""); /* the phone is told nothing of where it lies */
    expect_text(get("/came"), "1");
    expect_text(get("/phone"), "1 photo has come");
    expect_text(get("/photos"), "IMG_1.jpg<br><span class=\"quiet\">to be looked at");
    waiting_photo(address);
    expect_text(get(address), "Yes, measure it");
    expect_text(get(address), "Is it the photo you meant?");
    expect_told(address, "do=accept", 303);
    expect_text(get(address), "This photo can't be measured");
    clear_photos();
}

static void the_door_is_shut_when_one_says_so_or_after_ten_minutes(void **state)
{
    char first[sizeof way];

    (void)state;
    open_for_phone();
    snprintf(first, sizeof first, "%s", way);
    shut_for_phone();
    assert_int_equal(world.shut, 1);
    expect_status(by_phone("GET", "", -1), 410);
    world.opened = 0;
    open_for_phone();
    assert_string_not_equal(first, way);
    world.now_s += 599;
    page_tick(page);
    take_way();
    world.now_s += 1;
    expect_status(by_phone("PUT", "/photo?name=a.jpg", 8), 410); /* even before it is seen to */
    page_tick(page);
    page_tick(page);
    assert_int_equal(world.shut, 2);
    expect_text(get("/phone"), "Let my phone send photos");
}

static void a_door_is_opened_only_on_an_address_of_this_machine_and_by_our_own_form(void **state)
{
    char body[128];

    (void)state;
    snprintf(body, sizeof body, "do=open&address=203.0.113.9&token=%s", token);
    expect_text(post("/phone", body), "is no address of this computer");
    expect_status(post("/phone", "do=open&address=192.0.2.7"), 403);
    assert_int_equal(world.opened, 0);
}

#define TEST_OF_PAGE(test) cmocka_unit_test_setup_teardown(test, open_page, close_page)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_OF_PAGE(only_a_host_of_ours_with_its_port_is_answered_whatever_the_method),
        TEST_OF_PAGE(without_the_cookie_nothing_is_shown_not_even_the_style),
        TEST_OF_PAGE(a_wrong_token_in_the_address_gives_no_cookie),
        TEST_OF_PAGE(a_change_without_the_forms_token_is_refused_and_changes_nothing),
        TEST_OF_PAGE(a_form_larger_than_any_and_one_without_a_length_are_refused_unread),
        TEST_OF_PAGE(no_path_comes_from_a_request),
        TEST_OF_PAGE(names_are_text_whatever_they_hold),
        TEST_OF_PAGE(every_response_forbids_what_no_view_needs),
        TEST_OF_PAGE(a_photo_is_refused_before_it_is_read_if_it_may_not_come_in),
        TEST_OF_PAGE(what_is_no_photo_comes_in_and_is_said_to_be_none_until_it_is_cleared),
        TEST_OF_PAGE(each_of_several_charts_is_told_of_for_itself),
        TEST_OF_PAGE(a_photo_without_a_plain_name_does_not_come_in),
        TEST_OF_PAGE(photos_are_found_by_their_ids_alone),
        TEST_OF_PAGE(an_ink_is_renamed_made_one_with_another_and_left_out),
        TEST_OF_PAGE(a_photo_is_amended_and_left_out),
        TEST_OF_PAGE(a_form_shown_before_the_inventory_changed_changes_nothing),
        TEST_OF_PAGE(the_whole_inventory_is_given_out_as_a_file),
        TEST_OF_PAGE(views_hold_neither_style_nor_script_of_their_own),
        TEST_OF_PAGE(the_wall_shows_the_inks_whose_name_holds_what_is_looked_for),
        TEST_OF_PAGE(a_change_elsewhere_is_seen_by_another_revision),
        TEST_OF_PAGE(what_to_buy_says_how_many_inks_are_served),
        TEST_OF_PAGE(what_one_made_is_logged_once_and_taken_out_again),
        TEST_OF_PAGE(two_batches_are_judged_ink_by_ink),
        TEST_OF_PAGE(each_kind_of_sheet_is_given_out_as_a_document),
        TEST_OF_PAGE(looking_at_a_chart_gives_it_no_number_and_printing_it_does),
        TEST_OF_PAGE(a_sheets_view_offers_what_is_kept_and_tells_the_command_line),
        TEST_OF_PAGE(maps_name_their_inks_and_lead_to_them),
        TEST_OF_PAGE(an_ink_that_is_not_there_is_said),
        TEST_OF_PAGE(a_phone_is_let_in_by_the_way_it_was_told_and_gets_one_view),
        TEST_OF_PAGE(by_the_door_neither_another_way_nor_another_host_is_answered),
        TEST_OF_PAGE(a_phones_photo_waits_in_the_list_and_is_measured_once_that_is_said),
        TEST_OF_PAGE(each_way_serves_the_browser_that_took_it_first_and_no_other),
        TEST_OF_PAGE(the_door_is_shut_when_one_says_so_or_after_ten_minutes),
        TEST_OF_PAGE(a_door_is_opened_only_on_an_address_of_this_machine_and_by_our_own_form),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
