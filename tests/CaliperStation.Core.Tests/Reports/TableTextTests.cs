using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Reports;

public sealed class TableTextTests
{
    private static readonly string[][] Rows =
    [
        ["blouse", "ready", "why not"],
        ["QG-001", "no", "rack height at rack left set aside because the thread of the flap is short"],
        ["QG-002", "yes", ""],
    ];

    [Fact]
    public void Without_a_terminal_a_row_is_one_line() =>
        Assert.Equal(Rows.Length, TableText.Of(Rows, TableText.Unbounded).Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);

    [Theory]
    [InlineData(80)]
    [InlineData(50)]
    [InlineData(40)]
    public void What_is_wider_than_the_terminal_is_broken_at_blanks_in_the_column_that_can_bear_it(int width)
    {
        string[] lines = TableText.Of(Rows, width, "  ").Split('\n', StringSplitOptions.RemoveEmptyEntries);

        Assert.All(lines, line => Assert.InRange(line.Length, 1, width));
        Assert.Equal(
            Rows.SelectMany(row => row).SelectMany(cell => cell.Split(' ', StringSplitOptions.RemoveEmptyEntries)).Order(),
            lines.SelectMany(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries)).Order());   // no word is cut
        Assert.Equal(["QG-001", "QG-002"], lines.Where(line => line.StartsWith("  QG", StringComparison.Ordinal)).Select(line => line[2..8]));
    }

    [Fact]
    public void Columns_that_have_no_room_beside_the_others_stand_below_them()
    {
        string[][] rows = [[new string('a', 20), new string('b', 15), new string('c', 15)], ["a", "b", "c"]];

        Assert.Equal($"{rows[0][0]}  {rows[0][1]}\n    {rows[0][2]}\n{"a",-20}  b\n    c\n", TableText.Of(rows, 40));
    }

    [Theory]
    [InlineData("took  ", "  ", 20, "took  rack left: 6 t|  the rest of it")]
    [InlineData("took  ", "  ", 19, "took  rack left:|  6 t the rest of|  it")]
    [InlineData("Blouse      ", "            ", 26, "Blouse      rack left: 6 t|            the rest of it")]
    [InlineData("", "  ", 12, "rack left:|  6 t the|  rest of it")]
    public void A_text_is_broken_at_blanks_and_goes_on_below_its_beginning(string first, string next, int width, string lines) =>
        Assert.Equal(lines.Replace('|', '\n') + "\n", TableText.Lines("rack left: 6 t the rest of it", width, first, next));

    [Fact]
    public void Lines_that_are_too_wide_go_on_below_their_beginning() =>
        Assert.Equal("rack:\n  left pin: up\n    1 t; right\n    pin: leave\n\n", TableText.Fitted(["rack:", "  left pin: up 1 t; right pin: leave", ""], 14));

    [Fact]
    public void The_order_of_work_fits_a_terminal_of_eighty_columns()
    {
        Plan plan = Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string>());

        Assert.All(StandardTable.Text(plan, 80).Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }
}
