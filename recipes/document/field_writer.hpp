// Fields written into a tree, complete and in the order in which they are described; toml_text()
// makes the text of it.
#pragma once

#include "recipes/document/fields.hpp"
#include "recipes/document/node.hpp"

namespace padtrim::document {

class FieldWriter final : public Fields {
  public:
    [[nodiscard]] Node take() { return {std::move(table_), {}}; }

    void text(const Field&, std::string&) override;
    void flag(const Field&, bool&) override;
    void whole(const Field&, std::int64_t&, const Range&) override;
    void real(const Field&, double&, const Range&) override;
    void quantity(const Field&, double&, std::string_view unit, const Range&) override;
    void quantities(const Field&, std::vector<double>&, std::string_view unit,
                    const Range&) override;
    void limit(const Field&, Limit&, std::string_view unit) override;
    void choice(const Field&, std::size_t&, std::span<const std::string_view>) override;
    void choices(const Field&, std::vector<std::size_t>&,
                 std::span<const std::string_view>) override;
    void date(const Field&, std::string&) override;
    void texts(const Field&, std::vector<std::string>&) override;
    void wholes(const Field&, std::vector<std::int64_t>&, const Range&) override;
    void table(const Field&, const Describe&) override;
    void tables(const Field&, std::size_t count, const std::function<void(std::size_t)>&,
                const DescribeItem&) override;
    bool present(std::string_view, bool now) override { return now; }
    bool is_text(std::string_view) override { return false; }
    void complain(std::string_view, std::string, std::string) override {}
    [[nodiscard]] bool reading() const override { return false; }
    [[nodiscard]] bool writing() const override { return true; }
    void ignore_rest() override {}
    void shape(std::string_view) override {}

  private:
    template <class T>
    void put(const Field& field, T value) {
        table_.push_back({std::string(field.key), {}, Node{std::move(value), {}}});
    }
    Table table_;
};

}  // namespace padtrim::document
