#include "recipes/document/field_list.hpp"

#include <cmath>

#include "recipes/document/nearest.hpp"
#include "recipes/document/toml.hpp"

namespace padtrim::document {
namespace {

std::string with_range(std::string form, const Range& range, std::string_view unit) {
    if (range.open) return form + " above " + quantity_text(range.low, unit);
    if (!std::isinf(range.high))
        return form + ' ' + number_text(range.low) + " to " + quantity_text(range.high, unit);
    if (!std::isinf(range.low)) return form + " from " + quantity_text(range.low, unit);
    return form;
}

class FieldList final : public Fields {
  public:
    explicit FieldList(std::string path, FieldTable& table)
        : path_(std::move(path)), table_(table) {}

    void text(const Field& field, std::string& value) override { row(field, "text", value); }
    void flag(const Field& field, bool& value) override {
        row(field, "true or false", value ? "true" : "false");
    }
    void whole(const Field& field, std::int64_t& value, const Range& range) override {
        row(field, with_range("whole number", range, "1"), std::to_string(value));
    }
    void real(const Field& field, double& value, const Range& range) override {
        row(field, with_range("number", range, "1"), number_text(value));
    }
    void quantity(const Field& field, double& value, std::string_view unit,
                  const Range& range) override {
        const std::string form = unit == "1" ? "number" : "quantity in " + std::string(unit);
        row(field, with_range(form, range, unit), quantity_text(value, unit));
    }
    void quantities(const Field& field, std::vector<double>&, std::string_view unit,
                    const Range&) override {
        row(field, "values in " + std::string(unit), "");
    }
    void limit(const Field& field, Limit&, std::string_view unit) override {
        row(field, "limit in " + std::string(unit), "no limit");
    }
    void choice(const Field& field, std::size_t& value,
                std::span<const std::string_view> words) override {
        row(field, "one of: " + listing(words), std::string(words[value]));
    }
    void choices(const Field& field, std::vector<std::size_t>&,
                 std::span<const std::string_view> words) override {
        row(field, "list of: " + listing(words), "");
    }
    void date(const Field& field, std::string& value) override { row(field, "date", value); }
    void texts(const Field& field, std::vector<std::string>&) override {
        row(field, "list of texts", "");
    }
    void wholes(const Field& field, std::vector<std::int64_t>&, const Range& range) override {
        row(field, with_range("list of whole numbers", range, "1"), "");
    }
    void table(const Field& field, const Describe& describe) override {
        below(field, path_below(path_, field.key), "table", describe);
    }
    void tables(const Field& field, std::size_t, const std::function<void(std::size_t)>& resize,
                const DescribeItem& describe) override {
        resize(1);
        below(field, path_below(path_, field.key) + "[]", "list of tables",
              [&](Fields& fields) { describe(fields, 0); });
    }
    bool present(std::string_view key, bool) override {
        optional_key_ = key;
        return true;
    }
    void shape(std::string_view name) override { shape_ = name; }
    bool is_text(std::string_view) override { return false; }
    void complain(std::string_view, std::string, std::string) override {}
    [[nodiscard]] bool reading() const override { return false; }
    [[nodiscard]] bool writing() const override { return false; }
    void ignore_rest() override {}

  private:
    static std::string path_below(const std::string& path, std::string_view key) {
        return (path.empty() ? "" : path + '.').append(key);
    }
    void row(const Field& field, std::string form, std::string initial) {
        const bool has_default = !field.required && field.key != optional_key_;
        table_.rows.push_back({path_below(path_, field.key), std::move(form),
                               has_default ? std::move(initial) : std::string(),
                               std::string(field.meaning), field.required});
    }
    // The rows of a table below, or only the name of its shape.
    void below(const Field& field, const std::string& path, std::string form,
               const Describe& describe) {
        row(field, form, "");
        const std::size_t own = table_.rows.size() - 1;
        FieldTable inner;
        FieldList list(path, inner);
        describe(list);
        table_.shapes.merge(inner.shapes);
        if (list.shape_.empty()) {
            table_.rows.insert(table_.rows.end(), inner.rows.begin(), inner.rows.end());
            return;
        }
        for (auto& each : inner.rows) each.key.erase(0, path.size() + 1);
        table_.rows[own].form = list.shape_ + (form == "table" ? "" : ", a list of them");
        table_.shapes.try_emplace(list.shape_, std::move(inner.rows));
    }

    std::string path_;
    FieldTable& table_;
    std::string shape_;
    std::string_view optional_key_;
};

}  // namespace

FieldTable list_fields(const Fields::Describe& describe) {
    FieldTable table;
    FieldList list("", table);
    describe(list);
    return table;
}

}  // namespace padtrim::document
