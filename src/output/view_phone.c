#include "output/view_phone.h"

#include "html.h"
#include "qr.h"

#include <string.h>

/* --- on this machine -------------------------------------------------------------------------- */

/* What an interface is, by how Linux names begin (systemd.net-naming-scheme); common practice
 * beyond. */
static const char *words_of(const struct view_network *network)
{
    const char *interface = network->interface[0] ? network->interface : network->address;

    static const struct {
        const char *beginning, *words;
    } kinds[] = {{"wl", "wireless"},
                 {"en", "by cable"},
                 {"eth", "by cable"},
                 {"usb", "by a cable to the phone"},
                 {"ww", "over a mobile network"},
                 {"lo", "this computer alone"},
                 {"127.", "this computer alone"},
                 {"tun", "through a tunnel"},
                 {"tap", "through a tunnel"},
                 {"wg", "through a tunnel"},
                 {"ppp", "through a tunnel"},
                 {"docker", "programs on this computer"},
                 {"veth", "programs on this computer"},
                 {"virbr", "programs on this computer"},
                 {"br-", "programs on this computer"}};

    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strncmp(interface, kinds[i].beginning, strlen(kinds[i].beginning)) == 0)
            return kinds[i].words;
    return "another network";
}

static void write_choice(FILE *out, const struct view_phone *phone)
{
    if (phone->count == 1) {
        fputs("<input type=\"hidden\" name=\"address\" value=\"", out);
        html_text(out, phone->networks[0].address);
        fputs("\">", out);
        return;
    }
    fputs("<label class=\"field\"><span>This computer is in several networks; the phone is in that "
          "of</span><select name=\"address\">",
          out);
    for (int i = 0; i < phone->count; i++) {
        fputs("<option value=\"", out);
        html_text(out, phone->networks[i].address);
        fprintf(out, "\">%s: ", words_of(&phone->networks[i]));
        html_text(out, phone->networks[i].interface);
        fputs(phone->networks[i].interface[0] ? ", " : "", out);
        html_text(out, phone->networks[i].address);
        fputs("</option>", out);
    }
    fputs("</select></label>", out);
}

static void write_shut(FILE *out, const struct view_frame *frame, const struct view_phone *phone)
{
    fputs("<p>A phone in the same network, as at home or in the workshop, can send its photos "
          "straight to this computer. Its camera reads a code from this screen and opens a small "
          "page that sends photos and does nothing else.</p>\n"
          "<p>They go as they are: others in the same network could see the photos on their way. "
          "It is shut again after ten minutes, or as soon as you say so.</p>\n",
          out);
    if (!phone->count) {
        fputs("<p class=\"notice\">This computer is in no network that a phone could be in. "
              "Connect it and look again; a cable to the phone does as well.</p>\n",
              out);
        return;
    }
    fputs("<form method=\"post\" action=\"/phone\" class=\"row\">", out);
    html_form_token(out, frame);
    write_choice(out, phone);
    fputs("<button class=\"first\" name=\"do\" value=\"open\">Let my phone send photos</button>"
          "</form>\n",
          out);
}

static enum status write_open(FILE *out, const struct view_frame *frame,
                              const struct view_phone *phone, struct error *error)
{
    enum status status;

    fprintf(out, "<div data-came=\"%d\">\n", phone->came);
    status = qr_svg(out, phone->address, error);
    fputs("<p>Point the phone's camera at the code and open what it offers, or type<br><code>",
          out);
    html_text(out, phone->address);
    fprintf(out,
            "</code></p>\n<p>Open for another %d minute%s. Others in the same network could see "
            "the photos on their way.</p>\n<p role=\"status\">",
            phone->minutes, phone->minutes == 1 ? "" : "s");
    if (phone->came)
        fprintf(out,
                "%d photo%s come: <a href=\"/photos\">look at %s</a>. Nothing is measured before "
                "you do.",
                phone->came, phone->came == 1 ? " has" : "s have",
                phone->came == 1 ? "it" : "them");
    else
        fputs("No photo has come yet.", out);
    fputs("</p>\n</div>\n<form method=\"post\" action=\"/phone\" class=\"row\">", out);
    html_form_token(out, frame);
    fputs("<input type=\"hidden\" name=\"address\" value=\"", out);
    html_text(out, phone->network);
    fputs("\"><button name=\"do\" value=\"shut\">Done: let nothing more in</button>"
          "<button name=\"do\" value=\"open\">Show a new code</button></form>\n"
          "<p class=\"quiet\">Each code serves one phone; a new one ends the one before.</p>\n",
          out);
    return status;
}

enum status view_phone(FILE *out, const struct view_frame *frame, const struct view_phone *phone,
                       struct error *error)
{
    if (phone->network)
        return write_open(out, frame, phone, error);
    write_shut(out, frame, phone);
    return STATUS_OK;
}

/* --- on the phone ----------------------------------------------------------------------------- */

void view_sending(FILE *out, const char *way)
{
    fprintf(out,
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
            "<title>Send photos</title>\n<link rel=\"stylesheet\" href=\"%s/style.css\">\n"
            "<link rel=\"icon\" href=\"%s/icon.svg\">\n"
            "<script src=\"%s/phone.js\" defer></script>\n</head>\n<body>\n<main id=\"main\">\n"
            "<h1>Send photos</h1>\n"
            "<p>To the computer whose screen showed the code. Others in the same network could see "
            "them on their way.</p>\n"
            "<div data-send=\"%s\"><label class=\"button\">Choose or take photos<input "
            "type=\"file\" multiple class=\"unseen\" accept=\"image/*,.heic,.heif,.dng\"></label>"
            "<ul class=\"coming\" role=\"status\"></ul></div>\n"
            "<p class=\"quiet\">If the phone asks, send the photo as it was taken: the original, "
            "in actual size, with all its data; not a smaller or 'most compatible' copy.</p>\n"
            "<noscript><p>This page needs its script to send photos.</p></noscript>\n"
            "</main>\n</body>\n</html>\n",
            way, way, way, way);
}
