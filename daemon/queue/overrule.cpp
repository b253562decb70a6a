// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/overrule.h"

#include <algorithm>

#include "daemon/queue/reception.h"
#include "protocol/utf8.h"

namespace leadwright {

namespace {

/// F is not among them: it says that a fault was found or seen, and no word of a person finds one.
constexpr std::string_view letters = "ABCDU";

bool is_about(const GradeOverride& given, const Grade& grade) {
  return given.own_letter == grade.letter && given.own_reason == grade.reason;
}

/// Of those about the grade of now, the newest in this state.
const GradeOverride* newest(const TicketFile& file, OverrideState state) {
  if (!file.grade) return nullptr;
  const auto found = std::find_if(
      file.overrides.rbegin(), file.overrides.rend(),
      [&](const GradeOverride& each) { return each.state == state && is_about(each, *file.grade); });
  return found == file.overrides.rend() ? nullptr : &*found;
}

std::optional<std::string> safety_refusal(const TicketFile& file) {
  if (file.ticket.state == TicketState::refused) return file.ticket.state_reason;
  if (!file.faults.empty()) return "a fault was found: " + file.faults.back().evidence;
  if (looks_unsafe(file.ticket.inspection))
    return "the inspection found it cracked, leaking, swollen or frozen";
  if (!is_lead(file.battery.nameplate.chemistry)) return "its label does not say that it is a lead battery";
  if (file.grade && file.grade->letter == 'F') return file.grade->reason;
  return std::nullopt;
}

/// What stands in the way of any change of the letter.
Result<void> is_open_to_override(const TicketFile& file) {
  const std::string ticket = shown(file.ticket.id);
  if (const auto unsafe = safety_refusal(file)) {
    return fail(Errc::refused, *unsafe, ticket, "no role can override this");
  }
  if (!file.grade || file.ticket.state != TicketState::graded) {
    return fail(Errc::conflict,
                std::string("a letter is overridden while its ticket is graded, and this one is ") +
                    word(file.ticket.state),
                ticket, "wait for the grade; a held ticket is taken up again first");
  }
  return {};
}

}  // namespace

const GradeOverride* standing_override(const TicketFile& file) {
  const GradeOverride* found = newest(file, OverrideState::confirmed);
  return found != nullptr && found->letter != found->own_letter ? found : nullptr;
}

const GradeOverride* proposed_override(const TicketFile& file) {
  return newest(file, OverrideState::proposed);
}

GradeOverride* override_numbered(TicketFile& file, int number) {
  const auto at = static_cast<std::size_t>(number) - 1;
  return number > 0 && at < file.overrides.size() ? &file.overrides[at] : nullptr;
}

std::optional<char> letter_that_stands(const TicketFile& file) {
  if (!file.grade) return std::nullopt;
  const GradeOverride* given = standing_override(file);
  return given != nullptr ? given->letter : file.grade->letter;
}

Sentence reason_that_stands(const TicketFile& file) {
  if (!file.grade) return {};
  const GradeOverride* given = standing_override(file);
  Sentence own{file.grade->reason, file.grade->said.reason};
  if (given == nullptr) return own;
  if (own.phrases().empty()) own = say("words", "{words}", {said_words("words", own.text())});
  return say("set_by_persons", "Set to {letter} by two persons: {why} (The bench's own letter is {own}: ",
             {said_words("letter", std::string(1, given->letter)), said_words("why", given->why),
              said_words("own", std::string(1, given->own_letter))})
      .add(own)
      .say("bracket", ")");
}

Result<void> may_propose(const TicketFile& file, std::string_view letter) {
  Result<void> open = is_open_to_override(file);
  if (!open) return open;
  if (letter.size() != 1 || letters.find(letter.front()) == std::string_view::npos) {
    return fail(Errc::bad_input, "no person can set the letter \"" + std::string(letter) + "\"", "letter",
                "one of A, B, C, D, U");
  }
  if (*letter_that_stands(file) == letter.front()) {
    return fail(Errc::conflict, std::string("its letter is ").append(letter).append(" already"),
                shown(file.ticket.id));
  }
  return {};
}

Result<const GradeOverride*> may_confirm(const TicketFile& file, std::string_view letter,
                                         std::string_view person, const PersonBook& people) {
  Result<void> open = is_open_to_override(file);
  if (!open) return pass(open);
  const std::string ticket = shown(file.ticket.id);
  const GradeOverride* proposed = proposed_override(file);
  if (proposed == nullptr) {
    return fail(Errc::conflict, "no other letter is proposed for the grade as it is now", ticket,
                "leadwright ticket override proposes one");
  }
  if (letter != std::string_view(&proposed->letter, 1)) {
    return fail(Errc::conflict,
                std::string("what is proposed is ").append(1, proposed->letter).append(": ") + proposed->why,
                ticket, "read it again, and name the letter that you confirm");
  }
  if (proposed->proposed_by == person) {
    return fail(Errc::conflict, "who proposed a letter can't confirm it", ticket,
                "a second person confirms it under their own name");
  }
  if (people.may_be_one_person(proposed->proposed_by, person)) {
    return fail(Errc::conflict,
                "the name of who proposed it was erased, and nobody can tell any more that you are another",
                ticket, "withdraw it and propose it anew");
  }
  return proposed;
}

Result<std::string> reason_of_override(std::string_view text) {
  const std::string_view why = trimmed(text);
  if (why.empty()) {
    return fail(Errc::bad_input, "another letter needs a reason", "why", "say why in a sentence");
  }
  if (why.size() > GradeOverride::why_length_max || !is_clean_text(why)) {
    return fail(Errc::bad_input, "the reason is too long or is not one line of plain text", "why",
                "at most " + std::to_string(GradeOverride::why_length_max) + " bytes");
  }
  return std::string(why);
}

}  // namespace leadwright
