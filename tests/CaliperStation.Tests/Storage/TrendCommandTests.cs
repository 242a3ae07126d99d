using System.Text.Json;
using CaliperStation.Cli;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Studies;
using CaliperStation.Files;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class TrendCommandTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly StringWriter _out = new();
    private readonly StringWriter _error = new();

    public TrendCommandTests() => StoreFixture.Fill(_place.Paths, 12);

    public void Dispose()
    {
        _place.Dispose();
        _out.Dispose();
        _error.Dispose();
    }

    [Fact]
    public void Every_filed_sitting_is_a_point_in_its_order()
    {
        JsonElement group = Assert.Single(Run(new(_place.Path, null, null, null, null, null, null, true, null)));
        JsonElement step = group.GetProperty("series")[0];

        Assert.Equal((12, 11, 12), (group.GetProperty("coats").GetInt64(), group.GetProperty("firstTimeRight").GetInt64(), group.GetProperty("firstTimeOf").GetInt64()));   // the third was outside and set aside
        Assert.Equal("rack-left", step.GetProperty("id").GetString());
        Assert.Equal(Enumerable.Range(1, 12).Select(n => n * 1000.0), step.GetProperty("points").EnumerateArray().Select(point => point.GetProperty("deviationNm").GetDouble()));
        Assert.Equal("QG-000", step.GetProperty("points")[11].GetProperty("tag").GetString());
        Assert.Contains(step.GetProperty("signals").EnumerateArray(), signal => signal.GetProperty("rule").GetString() == "six-trending");
        Assert.Equal("", _error.ToString());
    }

    [Fact]
    public void The_index_is_not_asked_and_damage_is_told_with_5()
    {
        File.Delete(_place.Paths.Index);
        string segment = Directory.GetFiles(_place.Paths.Journal).Order(StringComparer.Ordinal).First();
        string[] lines = File.ReadAllLines(segment);
        lines[7] = lines[7].Replace("QG-002", "QG-022", StringComparison.Ordinal);   // the second record
        File.WriteAllText(segment, string.Join('\n', lines) + "\n");

        JsonElement group = Assert.Single(Run(new(_place.Path, null, null, null, null, null, null, true, null), ExitCode.Store));

        Assert.Equal(11, group.GetProperty("coats").GetInt64());
    }

    [Fact]
    public void Filters_choose_step_item_hand_standard_and_days()
    {
        Assert.Equal(["rack-left"], Series(new(_place.Path, "rack-left", null, null, null, null, null, true, null)));
        Assert.Equal(["rack-left", "rack"], Series(new(_place.Path, null, "rack", null, null, null, null, true, null)));
        Assert.Equal(6, Run(new(_place.Path, null, null, "ef", null, null, null, true, null))[0].GetProperty("coats").GetInt64());
        Assert.Equal(3, Run(new(_place.Path, null, null, null, null, "2026-11-22", "2026-11-24", true, null))[0].GetProperty("coats").GetInt64());
        Assert.Empty(Run(new(_place.Path, null, null, null, "nobody's", null, null, true, null)));
        Assert.Equal(ExitCode.Usage, Assert.Throws<StationException>(() => Run(new(_place.Path, null, null, null, null, "soon", null, true, null))).ExitCode);
    }

    [Fact]
    public void Practice_is_left_out_and_said()
    {
        using (Store store = StoreFixture.Work(_place.Paths))
        using (StationKey key = StationKey.Open(_place.Paths))
        {
            Record made = StoreFixture.Make(13, store.Records.NextPlace(key));
            made = made with { Readings = [.. made.Readings.Select(reading => reading with { Takes = [.. reading.Takes.Select(take => take with { Source = ReadingSource.Emulated, Value = Length.Zero })] })] };
            RecordStore.Close(store, made, key, made.Closed);
        }

        Assert.Equal(12, Run(new(_place.Path, null, null, null, null, null, null, true, null))[0].GetProperty("coats").GetInt64());
        Assert.StartsWith("1 ", Assert.Single(_error.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_page_goes_to_a_file_beside_the_table_or_alone_to_the_output()
    {
        string file = Path.Combine(_place.Path, "trend.html");
        Assert.Equal(0, TrendCommand.Run(new(_place.Path, null, null, null, null, null, null, false, file), StoreFixture.Clock, _out, _error));
        StringWriter alone = new();
        Assert.Equal(0, TrendCommand.Run(new(_place.Path, null, null, null, null, null, null, false, "-"), StoreFixture.Clock, alone, _error));

        Assert.StartsWith("Quayside parade, 3: 12 coats", _out.ToString(), StringComparison.Ordinal);
        Assert.Equal(File.ReadAllText(file), alone.ToString());
        Assert.EndsWith("</html>\n", alone.ToString(), StringComparison.Ordinal);
        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => TrendCommand.Run(new(_place.Path, null, null, null, null, null, null, false, Path.Combine(_place.Path, "no", "such", "folder")), StoreFixture.Clock, _out, _error)).ExitCode);
        Assert.NotEmpty(CommandLine.Faults(["trend", "--json", "--html", "-"]));
    }

    /// <summary>A look that finds a line on its way looks once more: nothing is counted twice.</summary>
    [Theory]
    [InlineData(false, 64)]
    [InlineData(true, 64)]
    [InlineData(true, 5)]
    [InlineData(true, 1)]
    public void Every_record_that_the_index_finds_is_looked_at_once_and_in_its_order(bool torn, int batchSize)
    {
        if (torn)
        {
            File.AppendAllText(Directory.GetFiles(_place.Paths.Journal).Order(StringComparer.Ordinal).Last(), "{\"n\":");
        }

        TrendOfStore gathered = new(new TrendFilter(), batchSize);
        using Store store = Store.OpenToLook(_place.Paths, StoreFixture.Clock, _ => { }, gathered);
        TrendSeries step = gathered.Trend.Groups()[0].Series[0];

        Assert.Equal(torn, store.Report.Torn is not null);
        Assert.Equal(store.Records.Summaries(new()).Select(record => record.Id), step.Points.Select(point => point.Record));
        Assert.Equal((12L, 12L), (gathered.Seen, gathered.Trend.Coats));   // no other line of the journal is looked at
    }

    private IEnumerable<string?> Series(TrendOptions options) => Run(options)[0].GetProperty("series").EnumerateArray().Select(series => series.GetProperty("id").GetString());

    private List<JsonElement> Run(TrendOptions options, int exit = 0)
    {
        using StringWriter output = new();
        Assert.Equal(exit, TrendCommand.Run(options, StoreFixture.Clock, output, _error));
        return [.. output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement)];
    }
}
