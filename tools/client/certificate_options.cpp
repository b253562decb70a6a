// SPDX-License-Identifier: Apache-2.0
#include "tools/client/certificate_commands.h"
#include "tools/client/cli.h"

namespace leadwright {
namespace {

constexpr const char* certificate_examples = R"(Examples:
  leadwright certificate write T-000001-3 --state /var/lib/leadwright --out T-000001-3.pdf
  leadwright certificate label T-000001-3 --out label.svg --width-mm 60
  leadwright certificate key > bench.key
  leadwright certificate verify T-000001-3.pdf --key bench.key
  zbarimg --raw -q scan.png | leadwright certificate verify - --key bench.key
verify ends with 0 for a good one, 1 for one that was altered or that another key signed, 65 where there is
nothing to verify. Give bench.key to whoever gets certificates, by another way than the certificates.)";

}  // namespace

void add_certificate(Cli& cli) {
  auto* const certificate =
      noun(cli, "certificate", "The signed page of a graded ticket, its label, and whether it is genuine");
  certificate->footer(certificate_examples);

  auto* const write = certificate->add_subcommand("write", "One page as PDF or SVG, signed by this bench");
  const auto written = cli.add<CertificateOptions>(write, certificate_write);
  write->add_option("ticket", written->ticket, "T-000001-3")->required();
  write->add_option("--out", written->out, "file that ends with .pdf or .svg (else TICKET.pdf)");
  write->add_option("--paper", written->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();

  auto* const label =
      certificate->add_subcommand("label", "Code 128, grade and reserve capacity, to stick on");
  const auto labelled = cli.add<CertificateOptions>(label, certificate_label);
  label->add_option("ticket", labelled->ticket, "T-000001-3")->required();
  label->add_option("--out", labelled->out, "file that ends with .pdf or .svg")->required();
  label->add_option("--width-mm", labelled->width_mm, "of the stock, 40 to 150")->capture_default_str();

  auto* const key = certificate->add_subcommand("key", "This bench's public key, which others verify with");
  cli.add<CertificateKeyOptions>(key, certificate_key);

  auto* const verify =
      certificate->add_subcommand("verify", "Good, altered, or signed by somebody else; offline");
  const auto verified = cli.add<CertificateVerifyOptions>(verify, certificate_verify);
  verify
      ->add_option("file", verified->file, "PDF or SVG, or the text of its square code; - for standard input")
      ->required();
  verify->add_option("--key", verified->key, "the bench's public key: a file, or its text")->required();
}

}  // namespace leadwright
