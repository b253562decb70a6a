// SPDX-License-Identifier: Apache-2.0
#include "tools/client/certificate_commands.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>
#include <iostream>
#include <sstream>

#include "daemon/certificate/certificate_source.h"
#include "daemon/certificate/key_file.h"
#include "daemon/certificate/label.h"
#include "daemon/certificate/verify.h"
#include "daemon/store/sqlite_store.h"
#include "tools/client/call.h"
#include "tools/client/stored_history.h"

namespace leadwright {
namespace {

namespace json = boost::json;

Result<Certificate> stored_certificate(const std::string& folder, const std::string& ticket) {
  auto history = open_history(database_path(folder));
  if (!history) return pass(history);
  return certificate_out_of(**history, ticket);
}

Result<Drawing> drawing_for(const std::string& file) {
  const auto drawing = drawing_of(file);
  if (drawing) return *drawing;
  return fail(Errc::bad_input, "only .pdf and .svg can be drawn", "--out", "name a file like page.pdf");
}

Result<std::string> page_of(const ClientOptions& client, const CertificateOptions& options,
                            const std::string& out) {
  auto drawing = drawing_for(out);
  if (!drawing) return pass(drawing);
  const auto paper = paper_of(options.paper);
  if (!paper) return fail(Errc::bad_input, "no such paper: " + options.paper, "--paper", "a4 or letter");
  auto folder = state_folder(client);
  if (!folder) return pass(folder);
  auto certificate = stored_certificate(*folder, options.ticket);
  if (!certificate) return pass(certificate);
  auto key = bench_key(*folder);
  if (!key) return pass(key);
  return certificate_document(*certificate, *key, *drawing, *paper);
}

Result<std::string> label_of(const ClientOptions& client, const CertificateOptions& options) {
  auto drawing = drawing_for(options.out);
  if (!drawing) return pass(drawing);
  auto folder = state_folder(client);
  if (!folder) return pass(folder);
  auto certificate = stored_certificate(*folder, options.ticket);
  if (!certificate) return pass(certificate);
  return label_document(*certificate, *drawing, {options.width_mm});
}

ExitCode written(const ClientOptions& client, const Result<std::string>& document, const std::string& out) {
  if (!document) return report(client, document.error());
  const ExitCode code = write_text(client, *document, out, "--out");
  if (code == ExitCode::ok && !client.json) std::cout << out << '\n';
  return code;
}

Result<std::string> bytes_of(const std::string& file) {
  return read_input(file, "name a file that is there");
}

/// The public key in a file of that name, else in the words themselves.
Result<PublicKey> named_key(const std::string& words) {
  const auto text = bytes_of(words);
  if (text) return parse_public_key(*text);
  auto key = parse_public_key(words);
  if (key) return key;
  return fail(Errc::not_found, "there is no such file, and it is no public key", "--key",
              "on the bench: leadwright certificate key > bench.key");
}

ExitCode code_of(Authenticity verdict) {
  if (verdict == Authenticity::good) return ExitCode::ok;
  return verdict == Authenticity::unreadable ? ExitCode::bad_data : ExitCode::negative;
}

void print(const Verification& found, const std::string& file) {
  std::cout << file << ": " << word(found.verdict) << ". " << found.why << '\n';
  if (found.verdict != Authenticity::good && found.verdict != Authenticity::page_changed) return;
  std::cout << "Signed with the key " << found.signed_by << ":\n";
  std::istringstream lines(found.statement);
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("plot points:")) std::cout << "  " << line << '\n';
  }
}

}  // namespace

ExitCode certificate_write(const ClientOptions& client, const CertificateOptions& options) {
  const std::string out = options.out.empty() ? options.ticket + ".pdf" : options.out;
  return written(client, page_of(client, options, out), out);
}

ExitCode certificate_label(const ClientOptions& client, const CertificateOptions& options) {
  return written(client, label_of(client, options), options.out);
}

ExitCode certificate_key(const ClientOptions& client, const CertificateKeyOptions&) {
  const auto folder = state_folder(client);
  if (!folder) return report(client, folder.error());
  const auto key = bench_key(*folder);
  if (!key) return report(client, key.error());
  const PublicKey open = public_key_of(*key);
  if (client.json) {
    std::cout << json::serialize(json::object{{"key", text_of(open)}, {"key_id", key_id(open)}}) << '\n';
  } else {
    std::cout << text_of(open) << '\n';
  }
  return ExitCode::ok;
}

ExitCode certificate_verify(const ClientOptions& client, const CertificateVerifyOptions& options) {
  const auto key = named_key(options.key);
  if (!key) return report(client, key.error());
  const auto bytes = bytes_of(options.file);
  if (!bytes) return report(client, bytes.error());
  const Verification found = verify(*bytes, *key);
  if (client.json) {
    const json::object answer{{"verdict", word(found.verdict)},
                              {"why", found.why},
                              {"signed_by", found.signed_by},
                              {"statement", found.statement}};
    std::cout << json::serialize(answer) << '\n';
  } else {
    print(found, options.file);
  }
  return code_of(found.verdict);
}

}  // namespace leadwright
