#include "station/web/tls_identity.hpp"

#include <array>
#include <cerrno>
#include <cstring>

#include <boost/asio/ip/address.hpp>
#include <openssl/crypto.h>
#include <openssl/err.h>
#include <openssl/pem.h>
#include <openssl/ssl.h>
#include <openssl/x509v3.h>

#include "station/answers/json.hpp"
#include "station/files/secret_file.hpp"

namespace padtrim::web {
namespace {

namespace asio = boost::asio;

template <class T, void (*release)(T*)>
struct Released {
    void operator()(T* held) const { release(held); }
};
using Certificate = std::unique_ptr<X509, Released<X509, X509_free>>;
using Key = std::unique_ptr<EVP_PKEY, Released<EVP_PKEY, EVP_PKEY_free>>;
using Names = std::unique_ptr<GENERAL_NAMES, Released<GENERAL_NAMES, GENERAL_NAMES_free>>;

// A station starts by itself: nobody is there to type the password of a key.
int no_password(char*, int, int, void* asked) {
    *static_cast<bool*>(asked) = true;
    return -1;
}

Attempt<Certificate> certificate_in(const std::string& path) {
    BIO* file = BIO_new_file(path.c_str(), "r");
    if (file == nullptr)
        return Failure{"The certificate " + path + " cannot be read (" + std::strerror(errno) +
                       "). Give --certificate a PEM file."};
    Certificate certificate(PEM_read_bio_X509(file, nullptr, nullptr, nullptr));
    BIO_free(file);
    if (!certificate)
        return Failure{"There is no certificate in " + path + ". Give --certificate a PEM file."};
    return certificate;
}

Attempt<Key> key_in(const std::string& path) {
    files::Secret secret = files::secret_in(path);
    if (!secret.there)
        return Failure{"The key " + path + " cannot be read (" + std::strerror(errno) +
                       "). Give --key the PEM file that belongs to the certificate."};
    if (secret.shown) return Failure{files::mend_of_shown(path)};
    bool asked = false;
    BIO* text = BIO_new_mem_buf(secret.text.data(), static_cast<int>(secret.text.size()));
    Key key(PEM_read_bio_PrivateKey(text, nullptr, no_password, &asked));
    BIO_free(text);
    OPENSSL_cleanse(secret.text.data(), secret.text.size());
    if (asked)
        return Failure{"The key " + path + " has a password, which nobody types when a station " +
                       "starts by itself. Store it without one, readable for its owner alone."};
    if (!key) return Failure{"There is no private key in " + path + ". Give --key a PEM file."};
    return key;
}

record::WallTime time_of(const ASN1_TIME* time) {
    std::tm parts{};
    ASN1_TIME_to_tm(time, &parts);
    using namespace std::chrono;
    const sys_days day = year(parts.tm_year + 1900) /
                         month(static_cast<unsigned>(parts.tm_mon + 1)) /
                         static_cast<unsigned>(parts.tm_mday);
    return day + hours(parts.tm_hour) + minutes(parts.tm_min) + seconds(parts.tm_sec);
}

std::string address_of(const ASN1_OCTET_STRING& octets) {
    const unsigned char* bytes = ASN1_STRING_get0_data(&octets);
    if (ASN1_STRING_length(&octets) == 4) {
        asio::ip::address_v4::bytes_type raw{};
        std::memcpy(raw.data(), bytes, raw.size());
        return asio::ip::address_v4(raw).to_string();
    }
    asio::ip::address_v6::bytes_type raw{};
    if (ASN1_STRING_length(&octets) != static_cast<int>(raw.size())) return "";
    std::memcpy(raw.data(), bytes, raw.size());
    return "[" + asio::ip::address_v6(raw).to_string() + "]";
}

// RFC 5280, section 4.2.1.6.
std::vector<std::string> names_of(const X509& certificate) {
    std::vector<std::string> found;
    const Names names(static_cast<GENERAL_NAMES*>(
        X509_get_ext_d2i(&certificate, NID_subject_alt_name, nullptr, nullptr)));
    for (int i = 0; names && i < sk_GENERAL_NAME_num(names.get()); ++i) {
        const GENERAL_NAME* name = sk_GENERAL_NAME_value(names.get(), i);
        std::string text;
        if (name->type == GEN_DNS)
            text.assign(reinterpret_cast<const char*>(ASN1_STRING_get0_data(name->d.dNSName)),
                        static_cast<std::size_t>(ASN1_STRING_length(name->d.dNSName)));
        if (name->type == GEN_IPADD) text = address_of(*name->d.iPAddress);
        if (!text.empty()) found.push_back(std::move(text));
    }
    return found;
}

std::string wrong_with_time(const X509& certificate, const std::string& path,
                            record::WallTime now) {
    const auto begins = time_of(X509_get0_notBefore(&certificate));
    const auto ends = time_of(X509_get0_notAfter(&certificate));
    if (now > ends)
        return "The certificate " + path + " ran out on " + answers::iso_8601(ends) +
               ". Get a new one.";
    if (now < begins)
        return "The certificate " + path + " holds only from " + answers::iso_8601(begins) +
               " on. Look at this machine's clock, or wait.";
    return "";
}

std::string newest_reason() {
    std::array<char, 256> text{};
    ERR_error_string_n(ERR_peek_last_error(), text.data(), text.size());
    return text.data();
}

// RFC 9325, sections 3.1 and 4.2: nothing before TLS 1.2, and there only suites with an ephemeral
// key exchange and authenticated encryption; those of TLS 1.3 are all so.
bool harden(SSL_CTX* context) {
    SSL_CTX_set_options(context, SSL_OP_NO_COMPRESSION | SSL_OP_NO_RENEGOTIATION);
    return SSL_CTX_set_min_proto_version(context, TLS1_2_VERSION) == 1 &&
           SSL_CTX_set_cipher_list(context, "ECDHE+AESGCM:ECDHE+CHACHA20") == 1;
}

}  // namespace

Attempt<TlsIdentity> tls_identity(const std::string& certificate_path, const std::string& key_path,
                                  record::WallTime now) {
    const auto certificate = certificate_in(certificate_path);
    if (!certificate) return certificate.error();
    const auto key = key_in(key_path);
    if (!key) return key.error();
    X509& held = **certificate;
    if (X509_check_private_key(&held, key->get()) != 1)
        return Failure{"The key " + key_path + " does not belong to the certificate " +
                       certificate_path + ". Give the key that it was made for."};
    if (std::string wrong = wrong_with_time(held, certificate_path, now); !wrong.empty())
        return Failure{std::move(wrong)};
    TlsIdentity identity;
    identity.names = names_of(held);
    if (identity.names.empty())
        return Failure{"The certificate " + certificate_path +
                       " names no address in its subjectAltName, so that no browser takes it. Get "
                       "one with the station's name."};
    identity.ends = time_of(X509_get0_notAfter(&held));
    ERR_clear_error();
    identity.context = std::make_shared<asio::ssl::context>(asio::ssl::context::tls_server);
    SSL_CTX* native = identity.context->native_handle();
    const bool taken = harden(native) &&
                       SSL_CTX_use_certificate_chain_file(native, certificate_path.c_str()) == 1 &&
                       SSL_CTX_use_PrivateKey(native, key->get()) == 1;
    if (!taken)
        return Failure{"The certificate " + certificate_path + " cannot be used (" +
                       newest_reason() + ")."};
    return identity;
}

}  // namespace padtrim::web
