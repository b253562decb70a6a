// SPDX-License-Identifier: Apache-2.0
#include "tests/certificate/example_certificate.h"

#include <sodium.h>

#include <array>
#include <cmath>

namespace leadwright {
namespace {

constexpr std::int64_t hour_ns = 3'600'000'000'000;
const Utc taken_in = Utc::parse("2026-03-17T09:00:00Z").value_or(Utc());

Utc after_hours(int hours_later) {
  return Utc(taken_in.ns() + hours_later * hour_ns);
}

Run example_run_of(int number, const char* procedure) {
  Run run;
  run.id = RunId{number};
  run.ticket = TicketId{1};
  run.place = "bay-1";
  run.procedure = procedure;
  run.started_at = after_hours(10 * number);
  run.ended_at = after_hours(10 * number + 5);
  run.outcome = RunOutcome::complete;
  run.instruments = {{"bay-1.load", "MAKER LOAD 4711", "2027-03-01", false},
                     {"bay-1.thermometer", "MAKER THERMO 12", "", false}};
  return run;
}

}  // namespace

Finding example_of(Measurand measurand, double value, double u, RunId run) {
  Finding finding;
  finding.ticket = TicketId{1};
  finding.run = run;
  finding.measurand = measurand;
  finding.value = value;
  finding.u = u;
  finding.method = "as the test says";
  finding.conditions = "initial temperature 22.5 degC; reference 25 degC, 0.009/K";
  finding.at = after_hours(45);
  return finding;
}

TicketFile sound_visit() {
  TicketFile file;
  file.battery.id = BatteryId{1};
  file.battery.serial = "EX-1";
  Nameplate& plate = file.battery.nameplate;
  plate.chemistry = Chemistry::flooded;
  plate.cells = 6;
  plate.cca = Rating<Ampere>{Ampere(640.0), RatingStandard::en};
  plate.reserve_capacity = Rating<Second>{minutes(100.0), RatingStandard::en};
  plate.c20 = Rating<Coulomb>{ampere_hours(60.0), RatingStandard::en};
  plate.manufactured_on = "2024-09";
  file.ticket.id = TicketId{1};
  file.ticket.battery = BatteryId{1};
  file.ticket.story = {"does not start since the weekend", "2024-11-04", "low battery, twice", "70231"};
  file.ticket.received_at = taken_in;
  file.runs = {example_run_of(1, "intake check"), example_run_of(2, "standard charge"),
               example_run_of(3, "half-CCA load test"), example_run_of(4, "reserve capacity")};
  file.findings = {example_of(Measurand::ocv, 12.684, 0.006, RunId{1}),
                   example_of(Measurand::soc, 0.97, 0.02, RunId{2}),
                   example_of(Measurand::load_volts, 10.35, 0.01, RunId{3}),
                   example_of(Measurand::load_margin, 0.75, 0.02, RunId{3}),
                   example_of(Measurand::reserve_capacity, 94.2, 1.1, RunId{4}),
                   example_of(Measurand::reserve_capacity_ref, 96.4, 1.5, RunId{4})};
  file.findings.back().budget = {{"temperature coefficient", "0.10 %/K", 0.24, "0.90 %/K"},
                                 {"battery's repeatability", "3.0 %", 1.4, "96.4 min"}};
  Grade& grade = file.grade.emplace();
  grade.ticket = TicketId{1};
  grade.letter = 'B';
  grade.reason = "Gives 96 min of reserve capacity against the rated 100 min: sound.";
  grade.policy = "store claim 1";
  grade.policy_hash = "ab54d286";
  grade.software = "0.1.0";
  grade.disposition = "Give it back charged: it is sound. There is nothing to claim.";
  grade.rules = {{"limit of B", "96.4 min conform to the 80 min of B.", "min", 80.0, 96.4}};
  grade.at = after_hours(46);
  return file;
}

std::vector<Sample> example_discharge() {
  std::vector<Sample> samples;
  constexpr double rest_s = 60.0;
  constexpr double end_s = 94.2 * 60.0;
  for (double t = 0.0; t < rest_s + end_s + 300.0; t += 10.0) {
    const double x = (t - rest_s) / end_s;
    Sample sample;
    sample.at = Second(t);
    const bool gives = x >= 0.0 && x <= 1.0;
    sample.amps = Ampere(gives ? 25.0 : 0.0);
    sample.volts = Volt(gives ? 12.35 - 0.9 * x - 0.95 * std::pow(x, 12.0) : 12.68);
    samples.push_back(sample);
  }
  return samples;
}

Certificate example_certificate() {
  const TicketFile file = sound_visit();
  CertificateSource source{file, true, {{taken_in, "P-7", "ticket.add", "T-000001-9", ""}}, {}};
  source.discharge = example_discharge();
  return certificate_of(source).value_or(Certificate{});
}

SigningKey example_key(unsigned char number) {
  std::array<unsigned char, crypto_sign_SEEDBYTES> seed{};
  seed[0] = number;
  SigningKey key;
  PublicKey unused;
  crypto_sign_seed_keypair(unused.bytes.data(), key.bytes.data(), seed.data());
  return key;
}

}  // namespace leadwright
