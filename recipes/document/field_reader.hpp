// Fields read from one table of a document. Problems go to the Document.
#pragma once

#include "recipes/document/document.hpp"
#include "recipes/document/fields.hpp"

namespace padtrim::document {

// Reads what `describe` asks of the table at `path` ("" is the root), then reports missing keys and
// keys that nobody asked for, with the nearest one that somebody did.
void read_fields(Document& document, const Node& table, const std::string& path,
                 const Fields::Describe& describe);

class FieldReader final : public Fields {
  public:
    FieldReader(Document& document, const Node& table, std::string path);
    void finish();

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
    void tables(const Field&, std::size_t, const std::function<void(std::size_t)>&,
                const DescribeItem&) override;
    bool present(std::string_view key, bool now) override;
    bool is_text(std::string_view key) override;
    void complain(std::string_view key, std::string message, std::string mend) override;
    [[nodiscard]] bool reading() const override { return true; }
    [[nodiscard]] bool writing() const override { return false; }
    void ignore_rest() override { ignoring_ = true; }
    void shape(std::string_view) override {}

  private:
    void know(std::string_view key);
    const Node* asked(const Field& field);
    template <class T>
    const T* typed(const Field& field, std::string_view wanted, std::string_view example);
    using Example = std::function<std::string(double)>;
    const std::string* text_with_unit(const Field& field, std::string_view unit,
                                      const Example& example);
    void report_unknown_keys();
    [[nodiscard]] std::vector<std::string_view> absent_keys() const;
    bool within(std::string_view key, double value, std::string_view unit, const Range& range);
    void problem(std::string_view key, const TextProblem& what);

    Document& document_;
    const Node& table_;
    std::string path_;
    std::vector<std::string_view> known_;
    std::vector<Field> missing_;
    bool ignoring_ = false;
};

}  // namespace padtrim::document
