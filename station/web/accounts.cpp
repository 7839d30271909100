#include "station/web/accounts.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>
#include <sodium.h>
#include <unistd.h>

#include "station/answers/json.hpp"
#include "station/answers/names.hpp"
#include "station/files/whole_file.hpp"

namespace padtrim::web {
namespace {

// NIST SP 800-63B, 3.1.1: eight characters or more, 64 at least allowed, no rules of composition.
constexpr std::size_t shortest = 8, longest = 256;

// Letters and digits that nobody takes for one another.
std::string readable_code() {
    constexpr std::string_view letters = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789";
    std::string code;
    for (int i = 0; i < 12; ++i) {
        if (i > 0 && i % 4 == 0) code += '-';
        code += letters[randombytes_uniform(static_cast<std::uint32_t>(letters.size()))];
    }
    return code;
}

std::string member(const answers::Json& entry, const char* name) {
    const auto* object = entry.if_object();
    const auto* value = object ? object->if_contains(name) : nullptr;
    return value && value->is_string() ? std::string(value->get_string()) : "";
}

}  // namespace

std::string random_token(std::size_t bytes) {
    std::string raw(bytes, '\0'), hex(bytes * 2 + 1, '\0');
    randombytes_buf(raw.data(), raw.size());
    const std::vector<unsigned char> octets(raw.begin(), raw.end());
    sodium_bin2hex(hex.data(), hex.size(), octets.data(), octets.size());
    hex.pop_back();
    return hex;
}

Accounts::Accounts(std::string path, HashCost cost) : path_(std::move(path)), cost_(cost) {}

Attempt<std::unique_ptr<Accounts>> Accounts::open(std::string path, HashCost cost) {
    if (sodium_init() < 0) return Failure{"libsodium finds no source of random numbers."};
    std::unique_ptr<Accounts> accounts(new Accounts(std::move(path), cost));
    if (std::string wrong = accounts->load(); !wrong.empty()) return Failure{std::move(wrong)};
    if (accounts->entries_.empty()) accounts->code_ = readable_code();
    return accounts;
}

std::string Accounts::load() {
    if (::access(path_.c_str(), F_OK) != 0) return "";
    std::ifstream file(path_);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    const auto json = answers::parse_json(text);
    const auto* list =
        json && json->is_object() ? json->get_object().if_contains("accounts") : nullptr;
    if (!list || !list->is_array()) {
        return "The logins in " + path_ +
               " cannot be read. Restore the file from a backup; without it nobody is asked to log "
               "in.";
    }
    for (const auto& entry : list->get_array()) {
        const auto role = role_named(member(entry, "role"));
        if (!role || member(entry, "name").empty())
            return "The logins in " + path_ + " are damaged. Restore the file from a backup.";
        entries_.push_back({{member(entry, "name"), *role}, member(entry, "hash")});
    }
    return "";
}

std::string Accounts::save(const std::vector<Entry>& entries) const {
    boost::json::array list;
    for (const auto& entry : entries) {
        list.push_back(boost::json::object{
            {"name", entry.login.name}, {"role", name_of(entry.login.role)}, {"hash", entry.hash}});
    }
    const answers::Json json = boost::json::object{{"accounts", std::move(list)}};
    constexpr auto owner_alone = std::filesystem::perms{0600};
    if (files::replace_file(path_, answers::text_of(json) + "\n", owner_alone)) return "";
    return "The logins cannot be written to " + path_ + " (" + std::strerror(errno) + ").";
}

std::string Accounts::hash_of(const std::string& password) const {
    std::array<char, crypto_pwhash_STRBYTES> text{};
    if (crypto_pwhash_str(text.data(), password.data(), password.size(), cost_.passes,
                          cost_.bytes) != 0)
        return "";
    return text.data();
}

bool Accounts::any() const {
    const std::scoped_lock lock(mutex_);
    return !entries_.empty();
}

std::string Accounts::first_code() const {
    const std::scoped_lock lock(mutex_);
    return entries_.empty() ? code_ : "";
}

std::vector<Login> Accounts::all() const {
    const std::scoped_lock lock(mutex_);
    std::vector<Login> logins;
    for (const auto& entry : entries_) logins.push_back(entry.login);
    return logins;
}

std::optional<Role> Accounts::role_of(const std::string& name) const {
    const std::scoped_lock lock(mutex_);
    for (const auto& entry : entries_)
        if (entry.login.name == name) return entry.login.role;
    return std::nullopt;
}

std::optional<Role> Accounts::check(const std::string& name, const std::string& password) {
    std::call_once(hashed_nobody_, [this] { nobody_ = hash_of(random_token()); });
    std::string hash = nobody_;
    std::optional<Role> role;
    {
        const std::scoped_lock lock(mutex_);
        const auto at = std::find_if(entries_.begin(), entries_.end(),
                                     [&](const Entry& entry) { return entry.login.name == name; });
        if (at != entries_.end()) {
            hash = at->hash;
            role = at->login.role;
        }
    }
    const bool fits = password.size() <= longest &&
                      crypto_pwhash_str_verify(hash.c_str(), password.data(), password.size()) == 0;
    return fits ? role : std::nullopt;
}

std::string Accounts::set(const std::string& name, Role role, const std::string& password) {
    return put(name, role, password, false);
}

std::string Accounts::put(const std::string& name, Role role, const std::string& password,
                          bool first) {
    if (std::string wrong = answers::wrong_with_name("person", name); !wrong.empty()) return wrong;
    if (password.size() < shortest || password.size() > longest)
        return "A password has 8 to 256 characters.";
    std::string hash = hash_of(password);
    if (hash.empty()) return "There is too little memory to hash a password.";
    const std::scoped_lock lock(mutex_);
    if (first && !entries_.empty()) return "There is an administrator already.";
    auto entries = entries_;
    std::erase_if(entries, [&](const Entry& entry) { return entry.login.name == name; });
    entries.push_back({{name, role}, std::move(hash)});
    const bool kept = std::any_of(entries.begin(), entries.end(), [](const Entry& entry) {
        return entry.login.role == Role::administration;
    });
    if (!kept) return "The last administrator stays one. Name another first.";
    if (std::string wrong = save(entries); !wrong.empty()) return wrong;
    entries_ = std::move(entries);
    return "";
}

std::string Accounts::remove(const std::string& name) {
    const std::scoped_lock lock(mutex_);
    auto entries = entries_;
    if (std::erase_if(entries, [&](const Entry& one) { return one.login.name == name; }) == 0)
        return "Nobody has that name.";
    const bool kept = std::any_of(entries.begin(), entries.end(), [](const Entry& entry) {
        return entry.login.role == Role::administration;
    });
    if (!kept) return "The last administrator stays. Name another first.";
    if (std::string wrong = save(entries); !wrong.empty()) return wrong;
    entries_ = std::move(entries);
    return "";
}

bool Accounts::is_code(const std::string& code) const {
    const std::scoped_lock lock(mutex_);
    return !code_.empty() && code.size() == code_.size() &&
           sodium_memcmp(code.data(), code_.data(), code_.size()) == 0;
}

std::string Accounts::set_first(const std::string& code, const std::string& name,
                                const std::string& password) {
    if (any()) return "There is an administrator already.";
    if (!is_code(code)) return "That is not the code that was printed.";
    std::string wrong = put(name, Role::administration, password, true);
    const std::scoped_lock lock(mutex_);
    if (wrong.empty()) code_.clear();
    return wrong;
}

}  // namespace padtrim::web
