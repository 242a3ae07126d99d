using System.Collections.Concurrent;
using System.Diagnostics;
using System.Text;
using System.Text.Json;

namespace CaliperStation.Tests.Whole;

/// <summary>The built program as its own process, with a store of its own that is gone afterwards.</summary>
internal sealed class Station : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);   // a bound, not a wait: a run takes well under a second

    internal Station() => Folder = Directory.CreateTempSubdirectory("caliper-station-test-").FullName;

    /// <summary>A station that has done all this already: <c>coat.toml</c>, and one coat QG-1 measured by AB with these answers. It is measured once, and each test has its copy.</summary>
    /// <param name="record">The record of the sitting; empty where it was not signed.</param>
    /// <param name="answers">The answers, one a line.</param>
    internal static Station Measured(out string record, params string[] answers)
    {
        (Station made, record) = _measured.GetOrAdd(string.Join('\n', answers), _ => new(() =>
        {
            Station first = new();
            AppDomain.CurrentDomain.ProcessExit += (_, _) => first.Dispose();
            Ran ran = first.Measure(answers, first.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--hand", "AB", "--port", "none");
            return (first, ran.Events("closed").Select(closed => closed.GetProperty("record").GetString()!).SingleOrDefault(""));
        })).Value;
        Station copy = new();
        made.CopyTo("", copy.Folder);
        return copy;
    }

    private static readonly ConcurrentDictionary<string, Lazy<(Station Made, string Record)>> _measured = new();

    /// <summary>Copies a folder of this station's, with the permissions of its files.</summary>
    internal void CopyTo(string folder, string to)
    {
        string from = Path.Combine(Folder, folder);
        foreach (string path in Directory.EnumerateDirectories(from, "*", SearchOption.AllDirectories).Prepend(from))
        {
            DirectoryInfo made = Directory.CreateDirectory(Path.Combine(to, Path.GetRelativePath(from, path)));
            if (!OperatingSystem.IsWindows())
            {
                made.UnixFileMode = System.IO.File.GetUnixFileMode(path);
            }

            foreach (string file in Directory.EnumerateFiles(path))
            {
                System.IO.File.Copy(file, Path.Combine(made.FullName, Path.GetFileName(file)));
            }
        }
    }

    /// <summary>A folder for this test's files; the store is <c>store</c> in it.</summary>
    internal string Folder { get; }

    internal string Store => Path.Combine(Folder, "store");

    /// <summary>Writes a file and gives its path.</summary>
    internal string File(string name, string text)
    {
        string path = Path.Combine(Folder, name);
        System.IO.File.WriteAllText(path, text);
        return path;
    }

    /// <summary>Writes the settings of this test's bench.</summary>
    internal void Settings(string text)
    {
        Directory.CreateDirectory(Store);
        System.IO.File.WriteAllText(Path.Combine(Store, "settings.toml"), text);
    }

    /// <summary>The start of a run: how to call the program with these arguments.</summary>
    internal ProcessStartInfo Call(params IEnumerable<string> arguments)
    {
        ProcessStartInfo call = new("dotnet")
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardInputEncoding = new UTF8Encoding(false),
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
            WorkingDirectory = Folder,
        };
        call.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "caliper-station.dll"));
        foreach (string argument in arguments)
        {
            call.ArgumentList.Add(argument);
        }

        call.Environment["CALIPER_STATION_HOME"] = Store;
        call.Environment["XDG_STATE_HOME"] = Path.Combine(Folder, "state");
        call.Environment["NO_COLOR"] = "1";
        call.Environment["DOTNET_TieredPGO"] = "0";   // a short life is not worth profiling
        return call;
    }

    /// <summary>Runs to the end with all of the input at once.</summary>
    internal Ran Run(string input, params IEnumerable<string> arguments)
    {
        using Process process = Process.Start(Call(arguments))!;
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        Task<string> error = process.StandardError.ReadToEndAsync();
        try
        {
            process.StandardInput.Write(input);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // it ended without reading all of its input; what it said tells
        }

        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"still running after {Patience}: {string.Join(' ', arguments)}");
        }

        return new Ran(process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
    }

    /// <summary>The plain bench in JSON with these answers, one a line.</summary>
    internal Ran Measure(IEnumerable<string> answers, params IEnumerable<string> arguments) =>
        Run(string.Join('\n', answers) + "\n", ["measure", "--plain", "--json", .. arguments]);

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}

/// <summary>A finished run.</summary>
internal sealed record Ran(int ExitCode, string Output, string Error)
{
    /// <summary>The output as JSON Lines.</summary>
    internal IReadOnlyList<JsonElement> Lines => [.. Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement.Clone())];

    /// <summary>The lines of one event.</summary>
    internal IReadOnlyList<JsonElement> Events(string name) => [.. Lines.Where(line => line.GetProperty("event").GetString() == name)];
}
