// SPDX-License-Identifier: Apache-2.0
// leadwright ticket photo and leadwright photo ...: their options.
#include "tools/client/cli.h"
#include "tools/client/photo_commands.h"

namespace leadwright {
namespace {

constexpr const char* photo_help =
    R"(Where, when and with what it was taken is left out of what is kept. A photo proves nothing by
itself, and no grade reads it.
Examples:
  leadwright ticket photo T-000001-9 label.jpg --about 'the label'
  convert photo.png -resize 1600x1600 -quality 80 jpg:- | leadwright ticket photo T-000001-9 -
Exit codes: 0 kept; 65 no JPEG, or larger than 256 KiB; 66 no such file or ticket; 75 it has twelve.)";
constexpr const char* save_help =
    R"(Example: leadwright photo save H-000001 label.jpg
Exit codes: 0 written; 66 no such photo, or erased; 73 the file can't be made.)";
constexpr const char* erase_help =
    R"(The picture is gone for good; its number and the reason stay.
Example: leadwright photo erase H-000001 --why 'it shows a person'
Exit codes: 0 erased; 66 no such photo; 75 erased already.)";

}  // namespace

void add_photos(Cli& cli, CLI::App* ticket) {
  auto* const add = ticket->add_subcommand("photo", "Keep a photo with the ticket");
  const auto added = cli.add<PhotoOptions>(add, ticket_photo);
  add->add_option("ticket", added->ticket, "T-000001-3")->required();
  add->add_option("file", added->file, "a JPEG of at most 256 KiB, - for standard input")->required();
  add->add_option("--about", added->about, "what it shows; left out, the question that a run asks now");
  add->footer(photo_help);

  auto* const photo = noun(cli, "photo", "Photos that are kept with tickets");
  auto* const save = photo->add_subcommand("save", "Write a photo into a file");
  const auto saved = cli.add<PhotoOptions>(save, photo_save);
  save->add_option("photo", saved->photo, "H-000001")->required();
  save->add_option("file", saved->file, "where it goes, - for standard output")->required();
  save->footer(save_help);

  auto* const erase = photo->add_subcommand("erase", "Erase a photo for good");
  const auto erased = cli.add<PhotoOptions>(erase, photo_erase);
  erase->add_option("photo", erased->photo, "H-000001")->required();
  erase->add_option("--why", erased->why, "for the journal")->required();
  erase->footer(erase_help);
}

}  // namespace leadwright
