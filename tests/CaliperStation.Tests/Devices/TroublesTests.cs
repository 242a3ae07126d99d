using System.Text.RegularExpressions;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Tests.Shape;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>Every row of TestData/troubles.csv with the test that shows what the station does; troubles-sources.md names where the rows come from.</summary>
public sealed partial class TroublesTests
{
    [Fact]
    public void Every_row_has_a_test_that_names_it_and_no_test_names_another()
    {
        string[] rows = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "troubles.csv")).Select(line => Row().Match(line)).Where(row => row.Success).Select(row => row.Value)];
        IEnumerable<string> named = new[] { "tests/CaliperStation.Core.Tests", "tests/CaliperStation.Tests" }
            .SelectMany(SourceTree.CSharp).SelectMany(file => Named().Matches(file.Text)).Select(match => match.Groups[1].Value).Distinct();

        Assert.NotEmpty(rows);
        Assert.Equal(rows.Order(), named.Order());
    }

    /// <summary>Nothing in software sees a current; a caliper whose cell is drawn down wanders, and what wanders is refused.</summary>
    [Trait("trouble", "T11")]
    [Fact]
    public void T11_what_wanders_is_not_taken()
    {
        FakeTimeProvider time = new();
        LiveCaliper live = new LiveCaliper { Name = "bridge", Source = ReadingSource.Serial }.Saw(new CaliperEvent.Opened(), TimeSpan.Zero).After;
        for (int value = 0; value < 20; value++)
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            live = live.Saw(new CaliperEvent.Value(new Reading(Length.FromMicrometres(3_170 + (value % 4 * 110)), LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Serial, default, "") { Arrived = time.GetElapsedTime(0) }), time.GetElapsedTime(0)).After;
        }

        Assert.Null(live.Steady(time.GetElapsedTime(0)));
        Assert.True(live.IsMoving(time.GetElapsedTime(0)));
    }

    /// <summary>Events, line reading, reads with a time-out or pending, and cancelled ones are refused while the program is compiled (BannedSymbols.txt): see docs/decisions/0006.</summary>
    [Trait("trouble", "T47")]
    [Trait("trouble", "T66")]
    [Fact]
    public void T47_T66_a_port_is_polled() => Assert.InRange(SerialCaliper.PollEvery, TimeSpan.FromMilliseconds(5), TimeSpan.FromMilliseconds(20));

    [Trait("trouble", "T51")]
    [Fact]
    public void T51_no_modem_line_is_touched_unless_asked()
    {
        FakeLine line = new();
        FakeTimeProvider time = new();
        SerialCaliper caliper = new(new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, time, new FakePorts(line));
        SteppedCaliper run = new(caliper, time);
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        line.Put("+1.00 mm\r+2.00 mm\r");
        Assert.IsType<CaliperEvent.Value>(run.Next());
        caliper.Close();

        Assert.Empty(line.Outputs);
        Assert.Equal(0, line.Looks);
    }

    [Trait("trouble", "T54")]
    [Fact]
    public void T54_a_port_that_a_modem_service_probes_all_the_same_is_opened_after_it_and_its_commands_are_no_readings()
    {
        FakeLine line = new();
        FakePorts ports = new(line) { Trouble = new(PortTroubleKind.Busy, "busy") };
        FakeTimeProvider time = new();
        SteppedCaliper run = new(new SerialCaliper(new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, time, ports), time);
        Assert.Equal(LossKind.Busy, Assert.IsType<CaliperEvent.Lost>(run.Next()).Kind);
        ports.Trouble = null;
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        line.Put("AT\rATI1\rAT+GCAP\r+12.34 mm\r");   // commands that such services send, from memory, as a bridge that echoes would give them back

        IReadOnlyList<CaliperEvent> told = run.For(TimeSpan.FromSeconds(1));
        Assert.Equal(12_340_000, Assert.Single(told.OfType<CaliperEvent.Value>()).Reading.Value.Nanometres);
        Assert.Empty(line.Written);
    }

    [GeneratedRegex("""Trait\("trouble", "(T[0-9]{2})"\)""")]
    private static partial Regex Named();

    [GeneratedRegex("^T[0-9]{2}(?=,)")]
    private static partial Regex Row();
}
