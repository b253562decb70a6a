// SPDX-License-Identifier: Apache-2.0
// draw_examples FOLDER: invented certificates and labels with the key that signed them, for programs of
// others to read (tools/lib/peers_paper.py) and for the pictures of the documentation.
#include <fstream>
#include <iostream>
#include <tuple>

#include "daemon/certificate/document.h"
#include "daemon/certificate/label.h"
#include "tests/certificate/example_certificate.h"

namespace leadwright {
namespace {

/// One that was stopped early, with more findings, flags and words of people than a page has room for.
Certificate crowded_certificate() {
  TicketFile file = sound_visit();
  file.findings.pop_back();
  file.findings.pop_back();
  const RunId last{4};
  for (const auto& [measurand, value, u] : {std::tuple{Measurand::reserve_capacity_ref_at_least, 96.9, 1.5},
                                            {Measurand::reserve_capacity_ref_forecast, 131.0, 9.0},
                                            {Measurand::resistance, 0.00412, 0.00009},
                                            {Measurand::polarisation, 0.0021, 0.0002},
                                            {Measurand::temperature, 24.3, 0.2},
                                            {Measurand::delivered, 40.4, 0.03},
                                            {Measurand::returned, 44.8, 0.04},
                                            {Measurand::cranking_estimate, 610.0, 40.0},
                                            {Measurand::self_discharge, 0.004, 0.002},
                                            {Measurand::rest_slope, -1.3, 0.4},
                                            {Measurand::charge_peak, 14.9, 0.02},
                                            {Measurand::charge_margin, 0.4, 0.05},
                                            {Measurand::accepted, 21.0, 0.4},
                                            {Measurand::charge_needed, 4.0, 1.5}})
    file.findings.push_back(example_of(measurand, value, u, last));
  file.grade->reason = "Lasted 96 min and was stopped there, which conforms to the 80 min of B: sound.";
  file.grade->warranty = "16 months in service of 48; 24 of them are free: replaced at no charge.";
  file.grade->flags = {"The receipt was shown before with another battery: compare both.",
                       "It came in discharged: ask what may have drained it before it goes back."};
  CertificateSource source{file, true, {}, {}};
  constexpr std::size_t samples_until_stopped = 520;
  source.discharge = example_discharge();
  source.discharge.resize(samples_until_stopped);
  Certificate made = *certificate_of(source);
  for (int i = 0; i < 10; ++i) {
    made.overrides.emplace_back(
        "A person said that it is the same battery, against its voltage (label compared).");
    made.work.push_back(made.work.front());
    made.instruments.push_back(made.instruments.front());
  }
  return made;
}

/// A letter that two persons set, with the longest reason that they can give.
Certificate overridden_certificate() {
  TicketFile file = sound_visit();
  GradeOverride given;
  given.letter = 'C';
  given.own_letter = file.grade->letter;
  given.own_reason = file.grade->reason;
  given.why = "Its posts are worn down by clamps, so that it is not sold as a good one; ";
  given.why += std::string(GradeOverride::why_length_max - given.why.size(), 'w');
  given.disposition = "Sell it as used, with its posts shown.";
  given.state = OverrideState::confirmed;
  given.settled_at = file.grade->at;
  file.overrides = {given};
  CertificateSource source{file, true, {}, {}};
  source.discharge = example_discharge();
  return *certificate_of(source);
}

bool write(const std::string& file, const Result<std::string>& bytes) {
  if (!bytes) {
    std::cerr << file << ": " << bytes.error().line() << '\n';
    return false;
  }
  std::ofstream out(file, std::ios::binary | std::ios::trunc);
  out << *bytes;
  return static_cast<bool>(out.flush());
}

bool draw_all(const std::string& folder) {
  const SigningKey key = example_key();
  const Certificate sound = example_certificate();
  const auto page = [&](const Certificate& certificate, Drawing drawing, Paper paper) {
    return certificate_document(certificate, key, drawing, paper);
  };
  return write(folder + "/sound.pdf", page(sound, Drawing::pdf, Paper::a4)) &&
         write(folder + "/sound.svg", page(sound, Drawing::svg, Paper::a4)) &&
         write(folder + "/sound-letter.pdf", page(sound, Drawing::pdf, Paper::letter)) &&
         write(folder + "/crowded.pdf", page(crowded_certificate(), Drawing::pdf, Paper::letter)) &&
         write(folder + "/foreign.pdf",
               certificate_document(sound, example_key(2), Drawing::pdf, Paper::a4)) &&
         write(folder + "/label.pdf", label_document(sound, Drawing::pdf, {60})) &&
         write(folder + "/label-narrow.pdf", label_document(sound, Drawing::pdf, label_width_least)) &&
         write(folder + "/overridden.pdf", page(overridden_certificate(), Drawing::pdf, Paper::letter)) &&
         write(folder + "/label-overridden.pdf",
               label_document(overridden_certificate(), Drawing::pdf, label_width_least)) &&
         write(folder + "/bench.key", text_of(public_key_of(key)) + "\n");
}

}  // namespace
}  // namespace leadwright

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: draw_examples FOLDER\n";
    return 64;
  }
  return leadwright::draw_all(argv[1]) ? 0 : 74;
}
