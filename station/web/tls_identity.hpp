// By what a station shows other machines that it is itself: a certificate and its private key, as
// PEM files (RFC 7468).
//
// TLS 1.2 and 1.3 with forward secrecy alone, as RFC 9325 recommends.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include <boost/asio/ssl/context.hpp>

#include "db/record/run.hpp"
#include "station/web/message.hpp"

namespace padtrim::web {

struct TlsIdentity {
    std::shared_ptr<boost::asio::ssl::context> context;
    std::vector<std::string> names;  // of its subjectAltName, addresses in the form of a URL
    record::WallTime ends;           // when the certificate runs out
};

// Failure: one sentence, what is wrong with which file and how to mend it: not there, no PEM, a key
// that does not belong to it or that others may read or replace, out of its time, without a name.
[[nodiscard]] Attempt<TlsIdentity> tls_identity(const std::string& certificate,
                                                const std::string& key, record::WallTime now);

}  // namespace padtrim::web
