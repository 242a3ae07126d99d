using System.Diagnostics;
using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Devices;

namespace CaliperStation.Benchmarks;

/// <summary>
/// The built program with a caliper played on a pseudo-terminal: <c>wire [PROGRAM] [lines] [screen] [idle] [READINGS]</c>, all three unless said. From the last byte of a value on the wire to its reading in lines and to
/// the drawn screen, the reading on the disk by then; and what an idle bench costs. PROGRAM is the published file; without it the built one runs on JIT. Linux only.
/// </summary>
/// <remarks>Each value answers a request, so that every last byte has one reading. The screen's time is that of the last byte it draws, so it counts all of the redraw.</remarks>
internal static class WireBench
{
    private const int StepsOfSitting = 40;
    private static readonly TimeSpan _idleFor = TimeSpan.FromSeconds(30);

    internal static void Run(string[] args, TextWriter output)
    {
        string? program = args.Length > 0 && File.Exists(args[0]) ? Path.GetFullPath(args[0]) : null;
        int readings = args.Length > 0 && int.TryParse(args[^1], CultureInfo.InvariantCulture, out int given) ? given : 320;
        output.WriteLine($"program: {(program is null ? "built, JIT" : "published")}; load {Load()}");
        using WireStation station = new(program, StepsOfSitting);
        bool Asked(string part) => args.Contains(part) || !args.Any(word => word is "lines" or "screen" or "idle");
        if (Asked("lines"))
        {
            output.WriteLine($"lines:  {Distribution(station.InLines(readings))} (target: < 25 ms)");
        }

        if (Asked("screen"))
        {
            output.WriteLine($"screen: {Distribution(station.OnScreen(readings))} (target: p99 ≤ 50 ms)");
        }

        foreach ((bool screen, double rate) in Asked("idle") ? ((bool, double)[])[(false, 0), (false, 10), (true, 0), (true, 10)] : [])
        {
            double share = station.Cost(screen, rate, _idleFor);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{(screen ? "screen" : "lines")}, {(rate > 0 ? $"{rate:0} values a second" : "silent caliper")}: {share:P2} of a core over {_idleFor.TotalSeconds:0} s (target: idle < 2 %)"));
        }

        output.WriteLine($"load {Load()}");
    }

    private static string Distribution(List<double> milliseconds)
    {
        milliseconds.Sort();
        double At(double share) => milliseconds[Math.Min(milliseconds.Count - 1, (int)(share * milliseconds.Count))];
        return string.Create(CultureInfo.InvariantCulture,
            $"{milliseconds.Count} readings, p50 {At(0.5):0.0} ms, p95 {At(0.95):0.0} ms, p99 {At(0.99):0.0} ms, max {milliseconds[^1]:0.0} ms");
    }

    private static string Load() => File.Exists("/proc/loadavg") ? string.Join(' ', File.ReadAllText("/proc/loadavg").Split(' ')[..3]) : "not known";
}

/// <summary>A store, a standard and a wire for <see cref="WireBench"/>.</summary>
internal sealed class WireStation : IDisposable
{
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan _allDrawn = TimeSpan.FromMilliseconds(120);
    private static readonly TimeSpan _quiet = TimeSpan.FromMilliseconds(850);   // a press that comes sooner takes the last reading back

    private static readonly Regex _noDrawing = new(@"\e\[\?25[hl]|\e\[\d+;\d+H|\e\[\d* q|\a");

    private readonly string _folder = Directory.CreateTempSubdirectory("caliper-station-wire-").FullName;
    private readonly string? _program;
    private readonly int _steps;
    private int _tag;
    private int _shown;

    internal WireStation(string? program, int steps)
    {
        (_program, _steps) = (program, steps);
        File.WriteAllText(Path.Combine(_folder, "settings.toml"), "request = \"R\\r\"\ncheck-days = 0\n");
        File.WriteAllText(Standard, StandardText(steps));
    }

    private string Standard => Path.Combine(_folder, "coat.toml");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>Milliseconds from a value's last byte to the line that tells the reading.</summary>
    internal List<double> InLines(int readings)
    {
        List<double> taken = [];
        while (taken.Count < readings)
        {
            using PseudoTerminal wire = PseudoTerminal.Open();
            using Process bench = Start(Arguments(wire, "--plain", "--json"), null);
            for (int step = 0; step < _steps && taken.Count < readings; step++)
            {
                bench.StandardInput.Write('\n');
                bench.StandardInput.Flush();
                long sent = Answer(wire);
                while (!(bench.StandardOutput.ReadLine() ?? throw new IOException("The program ended.")).Contains("\"event\":\"reading\"", StringComparison.Ordinal))
                {
                }

                taken.Add(Stopwatch.GetElapsedTime(sent).TotalMilliseconds);
            }

            Stop(bench);
        }

        return taken;
    }

    /// <summary>Milliseconds from a value's last byte to the last byte of the redraw that it caused.</summary>
    internal List<double> OnScreen(int readings)
    {
        List<double> taken = [];
        while (taken.Count < readings)
        {
            using PseudoTerminal wire = PseudoTerminal.Open();
            using PseudoTerminal terminal = PseudoTerminal.Open();
            using Process bench = Start(Arguments(wire), terminal);
            Settle(terminal, TimeSpan.FromSeconds(2));
            for (int step = 0; step < _steps && taken.Count < readings; step++)
            {
                Settle(terminal, _quiet);
                terminal.Write("\r");
                long sent = Answer(wire);
                long drawn = sent;
                while (Stopwatch.GetElapsedTime(sent) < _allDrawn)
                {
                    drawn = Draws(terminal.Read(TimeSpan.FromMilliseconds(5))) ? Stopwatch.GetTimestamp() : drawn;
                }

                taken.Add(drawn > sent ? Stopwatch.GetElapsedTime(sent, drawn).TotalMilliseconds : throw new IOException("Nothing was drawn."));
            }

            terminal.Write("\u0011");   // Ctrl-Q
            while (!bench.WaitForExit(20))
            {
                terminal.Read(TimeSpan.Zero);
            }
        }

        return taken;
    }

    /// <summary>Processor time as a share of one core, after the start.</summary>
    internal double Cost(bool onScreen, double valuesPerSecond, TimeSpan time)
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        using PseudoTerminal? terminal = onScreen ? PseudoTerminal.Open() : null;
        using Process bench = Start(Arguments(wire, onScreen ? [] : ["--plain"]), terminal);
        if (!onScreen)
        {
            _ = bench.StandardOutput.ReadLineAsync();
        }

        Pass(wire, terminal, valuesPerSecond, TimeSpan.FromSeconds(4));   // starting and compiling are no idling
        bench.Refresh();
        TimeSpan before = bench.TotalProcessorTime;
        long began = Stopwatch.GetTimestamp();
        Pass(wire, terminal, valuesPerSecond, time);
        bench.Refresh();
        double share = (bench.TotalProcessorTime - before) / Stopwatch.GetElapsedTime(began);
        bench.Kill();
        bench.WaitForExit();
        return share;
    }

    private static void Pass(PseudoTerminal wire, PseudoTerminal? terminal, double valuesPerSecond, TimeSpan time)
    {
        int sent = 0;
        for (long began = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(began) < time;)
        {
            if (terminal is null)
            {
                Thread.Sleep(20);
            }
            else
            {
                terminal.Read(TimeSpan.FromMilliseconds(20));
            }

            if (Stopwatch.GetElapsedTime(began).TotalSeconds * valuesPerSecond > sent)
            {
                sent++;
                wire.Write("+3.18 mm\r\n");
            }
        }
    }

    /// <summary>True for more than the bell, and the cursor, which the kit places again at each of its turns.</summary>
    private static bool Draws(byte[] output) => _noDrawing.Replace(Encoding.Latin1.GetString(output), "").Length > 0;

    /// <summary>Waits for the request and sends the next value; gives the instant after its last byte.</summary>
    private long Answer(PseudoTerminal wire)
    {
        long began = Stopwatch.GetTimestamp();
        while (!wire.HasListener && Stopwatch.GetElapsedTime(began) < _patience)
        {
            Thread.Sleep(5);
        }

        if (wire.Read(_patience).Length == 0)
        {
            throw new IOException("The program did not ask for a value.");
        }

        wire.Write(string.Create(CultureInfo.InvariantCulture, $"+3.{17 + (_shown++ % 3)} mm\r\n"));
        return Stopwatch.GetTimestamp();
    }

    private static void Settle(PseudoTerminal terminal, TimeSpan time)
    {
        for (long began = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(began) < time;)
        {
            terminal.Read(TimeSpan.FromMilliseconds(10));
        }
    }

    private string[] Arguments(PseudoTerminal wire, params string[] more) =>
        ["measure", Standard, "--store", _folder, "--tag", FormattableString.Invariant($"QG-{++_tag}"), "--hand", "AB", "--port", wire.PortName, .. more];

    private Process Start(string[] arguments, PseudoTerminal? terminal) => OnPseudoTerminal.Start(
        _program is null ? ["dotnet", Path.Combine(AppContext.BaseDirectory, "caliper-station.dll"), .. arguments] : [_program, .. arguments], terminal, _folder);

    private static void Stop(Process bench)
    {
        bench.StandardInput.Close();
        bench.StandardOutput.ReadToEnd();
        bench.WaitForExit();
    }

    private static string StandardText(int steps)
    {
        StringBuilder text = new("""
            name = "Lock Keepers, wire bench"
            edition = "1"
            unit = "in"
            show = "ticks"

            [judging]
            rule = "guarded"
            confidence = 0.95
            within = "1/32"
            hand = "0.10 mm"

            [[item]]
            id = "bar"
            name = "bar"
            stands_on = "left pocket"
            size = ["3", "1/2"]
            place = ["0", "3/8"]
            pins = [["-1", "0"], ["1", "0"]]

            """);
        for (int step = 0; step < steps; step++)
        {
            text.Append(CultureInfo.InvariantCulture, $$"""

                [[step]]
                id = "low-{{step}}"
                of = "bar"
                from = "left pocket"
                at = ["{{step - (steps / 2)}}/32", "-1/4"]
                grows = "up"
                ask = "Top of the pocket to the bottom of the bar, place {{step}}"

                [[relation]]
                id = "height-{{step}}"
                kind = "gap"
                of = ["low-{{step}}"]
                nominal = "1/8"

                """);
        }

        return text.ToString();
    }
}
