using System.Collections.Concurrent;
using System.CommandLine;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Files;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper emulate</c> was asked for.</summary>
/// <param name="Transmitter">Unit, line end, rate, baud rate and seed.</param>
/// <param name="Script">A file of acts, or null to wander from gap to gap.</param>
/// <param name="Link">A stable name for the line, or null.</param>
internal sealed record CaliperEmulateOptions(TransmitterSettings Transmitter, string? Script = null, string? Link = null)
{
    /// <summary>The line end of a name: <c>cr</c>, <c>lf</c> or <c>crlf</c>; null for any other.</summary>
    internal static string? TerminatorOf(string name) => name switch
    {
        "cr" => "\r",
        "lf" => "\n",
        "crlf" => "\r\n",
        _ => null,
    };
}

/// <summary>A pretend caliper on a pseudo-terminal: prints the port's name on the first line and speaks until it is stopped.</summary>
internal static class CaliperEmulate
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Option<string?> unit = UnitOption("What it displays; mm unless said.");
        Option<string> terminator = new("--terminator") { Description = "The line's end: cr, lf or crlf.", HelpName = "END", DefaultValueFactory = _ => "crlf" };
        terminator.AcceptOnlyFromAmong("cr", "lf", "crlf");
        Option<double> rate = new("--rate") { Description = "Values a second; 0 sends at a press only.", HelpName = "NUMBER", DefaultValueFactory = _ => 10 };
        Option<int> baud = new("--baud") { Description = "How fast the bytes go.", HelpName = "NUMBER", DefaultValueFactory = _ => 9600 };
        Option<ulong> seed = new("--seed") { Description = "The same seed gives the same hand.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<string?> script = TextOption("--script", "FILE", "Lengths one a line, or wait 500ms, gap 1/8 in, press, send \"text\".");
        Option<string?> link = TextOption("--link", "PATH", "A stable name for the port.");
        Command command = new("emulate", "A pretend caliper on a pseudo-terminal; prints the port's name.") { unit, terminator, rate, baud, seed, script, link };
        command.SetAction((parsed, stop) => CaliperEmulate.RunAsync(
            new CaliperEmulateOptions(
                new TransmitterSettings(UnitOf(parsed.GetValue(unit)) ?? LengthUnit.Millimetre, CaliperEmulateOptions.TerminatorOf(parsed.GetValue(terminator)!)!, parsed.GetValue(rate), parsed.GetValue(baud), parsed.GetValue(seed)),
                parsed.GetValue(script), parsed.GetValue(link)),
            Console.In, output, error, stop));
        return command;
    }

    private static readonly TimeSpan _look = TimeSpan.FromMilliseconds(5);

    /// <summary>Returns 0 when it was stopped, 2 for a setting out of range, 3 for a bad script, 4 when there is no line to be had.</summary>
    internal static async Task<int> RunAsync(
        CaliperEmulateOptions options, TextReader input, TextWriter output, TextWriter errors, CancellationToken stop, TimeProvider? time = null)
    {
        if (options.Transmitter is not { Baud: > 0, Rate: >= 0 and <= 100 })
        {
            await errors.WriteLineAsync("The baud rate must be above 0 and the rate from 0 to 100 values a second.").ConfigureAwait(false);
            return 2;
        }

        IReadOnlyList<EmulationAct>? script = ReadScript(options, out IReadOnlyList<string> faults);
        if (script is null)
        {
            foreach (string fault in faults)
            {
                await errors.WriteLineAsync(fault).ConfigureAwait(false);
            }

            return 3;
        }

        try
        {
            using PseudoTerminal line = PseudoTerminal.Open(options.Link);
            await output.WriteLineAsync(PrintableText.Escape(line.PortName)).ConfigureAwait(false);
            await output.FlushAsync(stop).ConfigureAwait(false);
            await errors.WriteLineAsync("Type a length to move the jaws, press to send one value; Ctrl-C ends.").ConfigureAwait(false);
            await TransmitAsync(options.Transmitter, script, line, input, errors, time ?? TimeProvider.System, stop).ConfigureAwait(false);
            return 0;
        }
        catch (OperationCanceledException)
        {
            return 0;
        }
        catch (Exception e) when (e is PlatformNotSupportedException or IOException or UnauthorizedAccessException)
        {
            string why = e.InnerException?.Message ?? e.Message;
            await errors.WriteLineAsync($"There is no line to emulate a caliper on: {PrintableText.Escape(why)}").ConfigureAwait(false);
            return 4;
        }
    }

    private static IReadOnlyList<EmulationAct>? ReadScript(CaliperEmulateOptions options, out IReadOnlyList<string> faults)
    {
        faults = [];
        if (options.Script is null)
        {
            return [];
        }

        try
        {
            using StreamReader reader = new(options.Script);
            IReadOnlyList<EmulationAct> acts = EmulationScript.Read(reader, options.Script, options.Transmitter.Unit, out faults);
            return faults.Count == 0 ? acts : null;
        }
        catch (Exception e) when (FileFault.IsOfNamed(e))
        {
            faults = [$"{PrintableText.Escape(options.Script)} cannot be read: {PrintableText.Escape(e.Message)}"];
            return null;
        }
    }

    private static async Task TransmitAsync(
        TransmitterSettings settings, IReadOnlyList<EmulationAct> script, PseudoTerminal line, TextReader input, TextWriter errors, TimeProvider time, CancellationToken stop)
    {
        ConcurrentQueue<string> typed = new();
        _ = Task.Factory.StartNew(() => ReadLines(input, typed), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        EmulatedTransmitter transmitter = new(settings, script, time, bytes =>
        {
            if (line.HasListener)
            {
                line.Write(bytes);
            }
        });
        bool heard = false;
        using PeriodicTimer timer = new(_look, time);
        while (await timer.WaitForNextTickAsync(stop).ConfigureAwait(false))
        {
            while (typed.TryDequeue(out string? text))
            {
                EmulationAct? act = EmulationScript.Parse(text, settings.Unit, out string? fault);
                if (act is not null)
                {
                    transmitter.Do(act is EmulationAct.Show show ? new EmulationAct.Gap(show.Value) : act);
                }
                else if (fault is not null)
                {
                    await errors.WriteLineAsync(fault).ConfigureAwait(false);
                }
            }

            heard = heard || line.HasListener;   // a script begins when somebody listens, or its first values would be lost
            if (heard)
            {
                transmitter.Look();
            }
        }
    }

    /// <summary>Reading a console cannot be called off, so a thread of its own waits there and dies with the process.</summary>
    private static void ReadLines(TextReader input, ConcurrentQueue<string> typed)
    {
        try
        {
            while (input.ReadLine() is { } line)
            {
                typed.Enqueue(line);
            }
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException)
        {
            // The console is gone; the wire goes on.
        }
    }
}
