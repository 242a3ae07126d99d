using System.CommandLine;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Files;
using CaliperStation.Screen;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>What <c>trend</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Step">Only this step or rule.</param>
/// <param name="Item">Only this item and its steps.</param>
/// <param name="Hand">Only this hand.</param>
/// <param name="Standard">Only standards of this name.</param>
/// <param name="Since">From this day or instant on, as written.</param>
/// <param name="Until">Up to this day or instant, as written.</param>
/// <param name="Json">JSON instead of tables.</param>
/// <param name="Html">The file for a page; <c>-</c> for standard output instead of the tables; null for none.</param>
internal sealed record TrendOptions(string? Store, string? Step, string? Item, string? Hand, string? Standard, string? Since, string? Until, bool Json, string? Html)
{
    /// <summary>Every chart is drawn: on the screen when the output is a terminal, else as characters.</summary>
    public bool Plot { get; init; }

    /// <summary>The output is a terminal.</summary>
    public bool IsTerminal { get; init; }
}

/// <summary><c>trend</c>: what drifts over the filed records.</summary>
internal static class TrendCommand
{
    private const string Output = "-";

    internal static Command Command(TextWriter output, TextWriter error)
    {
        Option<string?> step = TextOption("--step", "ID", "Only this step, or rule over several; it is drawn too.");
        Option<string?> item = TextOption("--item", "NAME", "Only this item and its steps; they are drawn too.");
        Option<string?> hand = TextOption("--hand", "INITIALS", "Only what this hand read; rates and times of the coats it measured alone.");
        Option<string?> standard = TextOption("--standard", "NAME", "Only standards of this name.");
        Option<string?> since = TextOption("--since", "DAY", "From this day or instant on, such as 2026-11-25.");
        Option<string?> until = TextOption("--until", "DAY", "Up to this day, itself included.");
        Option<bool> plot = new("--plot") { Description = "Draws every chart; on a terminal one at a time: → the next, q leaves." };
        Option<bool> json = JsonOption();
        Option<string?> html = TextOption("--html", "FILE|-", "A page with every chart; - writes it to standard output instead of the tables.");
        Option<string?> store = StoreOption();
        Command command = new("trend", "Tells what drifts over the filed records: charts of each step and item, what was right the first time, re-pins and time a coat.")
        {
            step, item, hand, standard, since, until, plot, json, html, store,
        };
        command.Validators.Add(result =>
        {
            if (result.GetValue(plot) && (result.GetValue(json) || result.GetValue(html) == Output))
            {
                result.AddError("Say either --plot or --json or --html -: all go to standard output.");
            }

            if (result.GetValue(json) && result.GetValue(html) == Output)
            {
                result.AddError("Say either --json or --html -: both go to standard output.");
            }
        });
        command.SetAction(parsed => Run(
            new TrendOptions(
                parsed.GetValue(store), parsed.GetValue(step), parsed.GetValue(item), parsed.GetValue(hand), parsed.GetValue(standard), parsed.GetValue(since), parsed.GetValue(until), parsed.GetValue(json), parsed.GetValue(html))
            {
                Plot = parsed.GetValue(plot),
                IsTerminal = !Console.IsOutputRedirected && !Console.IsInputRedirected,
            },
            TimeProvider.System, output, error));
        return command;
    }

    internal static int Run(TrendOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        TimeZoneInfo zone = clock.LocalTimeZone;
        TrendFilter filter = new(
            options.Step, options.Item, options.Hand, options.Standard, FilterWords.Instant(options.Since, "--since", 0, zone), FilterWords.Instant(options.Until, "--until", 1, zone));
        TrendOfStore gathered = new(filter);
        using Store store = StoreLook.Open(options.Store, error, gathered);
        IReadOnlyList<TrendGroup> groups = gathered.Trend.Groups();
        if (groups.Count == 0)
        {
            Find(filter, store);
        }

        Dictionary<string, Standard?> standards = groups.Select(group => group.LastSha256).Distinct().ToDictionary(sha256 => sha256, sha256 => StoreLook.StandardOf(store, sha256));
        if (options.Html is { } page)
        {
            Write(page, PaperHtml.Of(TrendPage.Of(groups, sha256 => standards[sha256], zone), PaperSize.Find("a4")!), output);
        }

        if (options.Html != Output && !(options is { Plot: true, IsTerminal: true } && TrendPlot.Of(groups, sha256 => standards[sha256], zone) is { Count: > 0 } plots && PlotPage.Show(plots)))
        {
            output.Write(options.Json
                ? TrendText.Json(groups, sha256 => standards[sha256])
                : TrendText.Text(groups, sha256 => standards[sha256], zone, plotted: options.Plot || (options.Step ?? options.Item) is not null, StandardStreams.Width));
        }

        Tell(gathered, groups, error);
        return StoreLook.Result(store);
    }

    /// <summary>Where nothing is of the step or the item that was asked for: says what there is.</summary>
    /// <exception cref="StationException">Exit 2: these records have others.</exception>
    private static void Find(TrendFilter filter, Store store)
    {
        if ((filter.Step ?? filter.Item) is not { } asked)
        {
            return;
        }

        TrendOfStore all = new(filter with { Step = null, Item = null });
        Store.OpenToLook(store.Paths, TimeProvider.System, _ => { }, all).Dispose();
        bool isItem = filter.Step is null;
        string[] known = [.. all.Trend.Groups().SelectMany(group => group.Series).Where(series => series.Of == TrendOf.Item == isItem).Select(series => series.Id).Distinct()];
        if (known.Length > 0 && !known.Contains(asked))
        {
            throw new StationException(ExitCode.Usage, $"These records have no {(isItem ? "item" : "step or rule")} \"{PrintableText.Escape(asked)}\"; there are {PrintableText.Escape(string.Join(", ", known))}.");
        }
    }

    private static void Tell(TrendOfStore gathered, IReadOnlyList<TrendGroup> groups, TextWriter error)
    {
        if (gathered.Practice > 0)
        {
            error.WriteLine(FormattableString.Invariant($"{gathered.Practice} practice {(gathered.Practice == 1 ? "record is" : "records are")} left out: they say nothing of the bench."));
        }

        if (gathered.Unreadable > 0)
        {
            error.WriteLine(FormattableString.Invariant($"{gathered.Unreadable} {(gathered.Unreadable == 1 ? "record" : "records")} could not be read and {(gathered.Unreadable == 1 ? "is" : "are")} left out; \"records verify\" tells which."));
        }

        if (groups.Count > 1)
        {
            error.WriteLine(FormattableString.Invariant($"{groups.Count} standards or editions: each has its own charts."));
        }
    }

    private static void Write(string file, string page, TextWriter output)
    {
        if (file == Output)
        {
            output.Write(page);
            return;
        }

        GivenFile.Write(file, Encoding.UTF8.GetBytes(page), mayReplace: true);
    }
}
