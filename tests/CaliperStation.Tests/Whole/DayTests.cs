using System.Diagnostics;
using System.Text.Json;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Whole;

/// <summary>A day at the bench, on a real terminal with a caliper on a line, by one key; what happened is read from the journal.</summary>
public sealed class DayTests : IDisposable
{
    private const string Standard = """
        name = "Lock Keepers, one badge"
        edition = "1"
        unit = "mm"
        [judging]
        within = "0.8"
        [[item]]
        id = "badge"
        name = "badge"
        stands_on = "left pocket"
        size = ["20", "20"]
        place = ["0", "16"]
        pins = [["0", "0"]]
        [[step]]
        id = "badge-low"
        of = "badge"
        from = "left pocket"
        at = ["0", "-10"]
        grows = "up"
        ask = "Top of the pocket to the bottom of the badge"
        [[relation]]
        id = "badge-height"
        kind = "gap"
        of = ["badge-low"]
        nominal = "6"
        """;

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);
    private static readonly TimeSpan Calm = TimeSpan.FromSeconds(1);   // the bench wants 0.8 s without a press before one that confirms

    private readonly Station _station = new();
    private readonly CancellationTokenSource _over = new();
    private readonly PseudoTerminal? _caliper;
    private readonly Task _streaming;
    private readonly Lock _gate = new();
    private string? _shown;   // what the caliper's display shows; null while it is off
    private int _sent;        // how often it was sent to a bench that listens
    private long _pressed;

    public DayTests()
    {
        _caliper = OnTerminal.IsPossible ? PseudoTerminal.Open() : null;
        _streaming = Task.Run(StreamAsync);
    }

    public void Dispose()
    {
        _over.Cancel();
        _streaming.Wait(Patience);
        _caliper?.Dispose();
        _over.Dispose();
        _station.Dispose();
    }

    [TerminalFact]
    public async Task Three_blouses_of_a_list_by_one_key_one_of_them_bad_one_cut_short_and_one_countersigned()
    {
        string standard = _station.File("badge.toml", Standard), tags = _station.File("tags.txt", "LK-1\nLK-2\nLK-3\n");
        _station.Settings("countersign = true\n");
        int presses = 0;
        using (OnTerminal bench = new(_station, "--standard", standard, "--tags", tags, "--hand", "AB", "--port", _caliper!.PortName))
        {
            async Task Press(string kind, int many, string? shown = null)
            {
                if (shown is not null)
                {
                    await HoldAsync(shown);
                }

                await PressAsync(bench);
                presses++;
                await WrittenAsync(kind, many);
            }

            await PageAsync(bench, "Scan or type a tag");
            await Press("started", 1);                     // the one on top
            await Press("reading", 1, "+6.02 mm\r\n");     // within
            await Press("record", 1);                      // signed
            await LeaveAsync(bench);
            Assert.Equal(3, presses);                      // one reading, and what begins and signs

            await Press("started", 2);
            await Press("reading", 2, "+8.00 mm\r\n");     // outside: 2 mm too high
            await Press("moved", 1);                       // its one pin
            await Press("reading", 3, "+6.01 mm\r\n");
            await Press("record", 2);
            await LeaveAsync(bench);

            await Press("started", 3);
            await Press("reading", 4, "+5.99 mm\r\n");
            bench.Signal("KILL");
            await bench.EndAsync();
        }

        Show(null);
        using (OnTerminal bench = new(_station))   // all of it is in the settings by now
        {
            await PageAsync(bench, "left open");
            await PressAsync(bench);
            await PageAsync(bench, "One press signs as AB");
            await PressAsync(bench);
            await WrittenAsync("record", 3);
            await LeaveAsync(bench);
            bench.Press("\u001bOS");   // F4: another hand
            await bench.SeeAsync("Initials, then Enter");
            bench.Press("cd\r");
            await PageAsync(bench, "CD measures");
            await PressAsync(bench);
            await WrittenAsync("second-started", 1);
            await HoldAsync("+6.03 mm\r\n");
            await PressAsync(bench);
            await WrittenAsync("reading", 5);
            await PressAsync(bench);
            await WrittenAsync("record", 4);
            await PressAsync(bench);
            await bench.SeeAsync("1 of 3 ready");
            bench.Press("\u0011");   // Ctrl-Q

            Assert.Equal(0, await bench.EndAsync());
        }

        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
        (string?, bool)[] ready = [.. _station.Run("", "readiness", tags, "--countersigned", "--json").Lines
            .Select(blouse => (blouse.GetProperty("tag").GetString(), blouse.GetProperty("ready").GetBoolean()))];
        Assert.Equal([("LK-1", true), ("LK-2", false), ("LK-3", false)], ready);
    }

    [TerminalFact]
    public async Task What_takes_its_time_runs_while_another_blouse_is_worked()
    {
        string look = Standard + """

            [[look]]
            id = "glue"
            ask = "QQQQ set"
            after = "badge"
            wait = "9 min"
            """;
        string standard = _station.File("badge.toml", look), tags = _station.File("tags.txt", "LK-1\nLK-2\n");
        using OnTerminal bench = new(_station, "--standard", standard, "--tags", tags, "--hand", "AB", "--port", "none");
        await PageAsync(bench, "Scan or type a tag");
        await PressAsync(bench);
        await WrittenAsync("started", 1);
        await bench.SeeAsync("QQQQ set", () => bench.PressCalmly("6.0mm\r"));   // as a caliper types
        await WrittenAsync("reading", 1);
        await PressAsync(bench);
        await WrittenAsync("begun", 1);
        await PressAsync(bench);
        bench.Press("\u0011");   // Ctrl-Q
        await bench.SeeAsync("left open: QQQQ set, at ");
        Assert.Equal(["started", "reading", "begun"], Kinds());   // the time is not over, so the second press said nothing
        await PageAsync(bench, "Scan or type a tag");
        bench.Press("LK-2\r");
        await WrittenAsync("started", 2);
        await bench.SeeAsync("Top of the pocket");
        bench.Press("\u0011");
        await PageAsync(bench, "Scan or type a tag");
        bench.Press("\u0011");

        Assert.Equal(0, await bench.EndAsync());
    }

    /// <summary>A page was opened: what is pressed at once may be the key that left the page before, still held.</summary>
    private async Task PageAsync(OnTerminal bench, string text)
    {
        await bench.SeeAsync(text);
        _pressed = Stopwatch.GetTimestamp();
    }

    /// <summary>The record is filed; a press leaves for the queue.</summary>
    private async Task LeaveAsync(OnTerminal bench)
    {
        bench.Forget();
        await PressAsync(bench);
        await PageAsync(bench, "Scan or type a tag");
    }

    private async Task PressAsync(OnTerminal bench)
    {
        TimeSpan since = Stopwatch.GetElapsedTime(_pressed);
        if (since < Calm)
        {
            await Task.Delay(Calm - since);   // the quiet that a person keeps: what is pressed closer together is one press
        }

        bench.Press("\r");
        _pressed = Stopwatch.GetTimestamp();
    }

    private void Show(string? text)
    {
        lock (_gate)
        {
            (_shown, _sent) = (text, 0);
        }
    }

    /// <summary>The jaws are held on a gap until the display has shown it for a second and a half.</summary>
    private async Task HoldAsync(string text)
    {
        Show(text);
        long began = Stopwatch.GetTimestamp();
        while (Volatile.Read(ref _sent) < 15)
        {
            Assert.True(Stopwatch.GetElapsedTime(began) < Patience, "nobody listens to the caliper");
            await Task.Delay(TimeSpan.FromMilliseconds(50));
        }
    }

    private async Task WrittenAsync(string kind, int many)
    {
        long began = Stopwatch.GetTimestamp();
        while (Kinds().Count(each => each == kind) < many)
        {
            Assert.True(Stopwatch.GetElapsedTime(began) < Patience, $"never the {many}. {kind}; there are: {string.Join(", ", Kinds())}");
            await Task.Delay(TimeSpan.FromMilliseconds(50));
        }

        Assert.Equal(many, Kinds().Count(each => each == kind));
        _pressed = Stopwatch.GetTimestamp();   // by now the bench has heard the press, however late
    }

    private List<string?> Kinds()
    {
        string journal = Path.Combine(_station.Store, "journal");
        return !Directory.Exists(journal) ? [] :
        [
            .. Directory.EnumerateFiles(journal, "*.jsonl").SelectMany(Shared).Where(line => line.EndsWith('}'))
                .Select(line => JsonDocument.Parse(line).RootElement.GetProperty("kind").GetString()),
        ];
    }

    private static string[] Shared(string path)
    {
        using FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        return new StreamReader(file).ReadToEnd().Split('\n');
    }

    private async Task StreamAsync()
    {
        using PeriodicTimer tenth = new(TimeSpan.FromMilliseconds(100));
        try
        {
            while (await tenth.WaitForNextTickAsync(_over.Token))
            {
                lock (_gate)
                {
                    if (_shown is { } shown && _caliper is { HasListener: true })
                    {
                        _caliper.Write(shown);
                        _sent++;
                    }
                }
            }
        }
        catch (OperationCanceledException)
        {
            // the test is over
        }
    }
}
