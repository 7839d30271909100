// Logins of a station: names, roles and Argon2id hashes (RFC 9106) in a file beside the records
// that only its owner may read. While there is none, nobody is asked to log in; the first
// administrator needs a code that is printed where the daemon was started.
//
// Safe for several threads: hashing takes a while and is done beside the station.
#pragma once

#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "station/web/message.hpp"
#include "station/web/roles.hpp"

namespace padtrim::web {

// How much a hash costs (libsodium's names); the default is its "interactive": 64 MiB, two passes.
struct HashCost {
    std::uint64_t passes = 2;
    std::size_t bytes = 64U << 20U;
};

struct Login {
    std::string name;
    Role role = Role::operating;
};

class Accounts {
  public:
    // Failure: a file that is there and cannot be read or understood.
    [[nodiscard]] static Attempt<std::unique_ptr<Accounts>> open(std::string path,
                                                                 HashCost cost = {});

    // Whether anybody has a login: then everybody needs one.
    [[nodiscard]] bool any() const;
    // "" once there is an administrator.
    [[nodiscard]] std::string first_code() const;
    [[nodiscard]] std::vector<Login> all() const;
    [[nodiscard]] std::optional<Role> role_of(const std::string& name) const;
    // The role, when name and password fit; takes as long for a name that is not there.
    [[nodiscard]] std::optional<Role> check(const std::string& name, const std::string& password);
    // What is wrong, or "". A name that is there gets the new role and password.
    std::string set(const std::string& name, Role role, const std::string& password);
    std::string remove(const std::string& name);
    // Whether that is the printed code. Whoever asks bounds how often strangers may try.
    [[nodiscard]] bool is_code(const std::string& code) const;
    // The first administrator, by the printed code.
    std::string set_first(const std::string& code, const std::string& name,
                          const std::string& password);

  private:
    struct Entry {
        Login login;
        std::string hash;
    };
    Accounts(std::string path, HashCost cost);
    std::string load();
    [[nodiscard]] std::string save(const std::vector<Entry>& entries) const;
    [[nodiscard]] std::string put(const std::string& name, Role role, const std::string& password,
                                  bool first);
    [[nodiscard]] std::string hash_of(const std::string& password) const;

    const std::string path_;
    const HashCost cost_;
    mutable std::mutex mutex_;
    std::vector<Entry> entries_;
    std::string code_;
    std::once_flag hashed_nobody_;
    std::string nobody_;  // a hash that no password fits
};

// Hexadecimal digits of so many random bytes.
[[nodiscard]] std::string random_token(std::size_t bytes = 32);

}  // namespace padtrim::web
