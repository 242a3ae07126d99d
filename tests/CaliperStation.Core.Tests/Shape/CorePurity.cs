using System.Diagnostics;
using System.Net.Sockets;
using System.Reflection;
using System.Xml.Linq;

namespace CaliperStation.Core.Tests.Shape;

/// <summary>What keeps Core pure: the list of banned symbols, and a project file that lets nothing else in.</summary>
internal static class CorePurity
{
    private static readonly string[] MustBeBanned =
    [
        "T:System.Console", "T:System.IO.File", "T:System.IO.Directory", "T:System.IO.FileStream", "T:System.IO.RandomAccess",
        "T:System.Diagnostics.Stopwatch", "T:System.Diagnostics.Process", "T:System.TimeProvider", "T:System.Environment", "T:System.Random",
        "T:System.Threading.Thread", "T:System.Threading.ThreadPool", "T:System.Threading.Timer", "T:System.Threading.PeriodicTimer",
        "P:System.DateTime.Now", "P:System.DateTime.UtcNow", "P:System.DateTime.Today",
        "P:System.DateTimeOffset.Now", "P:System.DateTimeOffset.UtcNow",
        "M:System.Threading.Tasks.Task.Delay(System.Int32)", "M:System.Threading.Tasks.Task.Delay(System.TimeSpan)",
    ];

    private static readonly string[] Packages = ["MathNet.Numerics", "Microsoft.CodeAnalysis.BannedApiAnalyzers", "Tomlyn"];

    /// <summary>What the list does not ban though it must, and what it bans that does not exist: a misspelt ban bans nothing.</summary>
    public static IReadOnlyList<string> FaultsOfBans(string list)
    {
        string[] symbols =
        [
            .. list.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(line => line.Split(';')[0]),
        ];
        return
        [
            .. MustBeBanned.Except(symbols).Select(symbol => $"{symbol} is not banned."),
            .. symbols.Where(symbol => !Exists(symbol)).Select(symbol => $"{symbol} is banned but does not exist."),
        ];
    }

    /// <summary>What the project file lets in beside the packages of the design, and whether the list of bans is in force.</summary>
    public static IReadOnlyList<string> FaultsOfProject(string xml)
    {
        List<XElement> elements = [.. XDocument.Parse(xml).Descendants()];
        List<string> faults = [];
        faults.AddRange(Included(elements, "PackageReference").Except(Packages).Select(name => $"{name} is not a package of Core."));
        faults.AddRange(Packages.Except(Included(elements, "PackageReference")).Select(name => $"{name} is missing."));
        faults.AddRange(elements
            .Where(element => element.Name.LocalName is "ProjectReference" or "Reference" or "FrameworkReference" or "Using" or "NoWarn" or "Compile")
            .Select(element => $"{element.Name.LocalName} has no place in Core."));
        if (!Included(elements, "AdditionalFiles").Contains("BannedSymbols.txt"))
        {
            faults.Add("BannedSymbols.txt is not in force.");
        }

        return faults;
    }

    /// <summary>Files that switch the ban off for themselves.</summary>
    public static IReadOnlyList<string> FaultsOfSources(IEnumerable<SourceFile> files) =>
        [.. files.Where(file => file.Text.Contains("RS0030", StringComparison.Ordinal)).Select(file => $"{file.Path} switches the ban off.")];

    private static IEnumerable<string> Included(IEnumerable<XElement> elements, string kind) =>
        elements.Where(element => element.Name.LocalName == kind).Select(element => (string?)element.Attribute("Include") ?? "");

    private static bool Exists(string symbol)
    {
        string name = symbol[2..];
        string owner = name.Split('(')[0];
        int dot = owner.LastIndexOf('.');
        return symbol[0] switch
        {
            'T' => Find(name) is not null,
            'P' => Find(owner[..dot])?.GetProperty(owner[(dot + 1)..]) is not null,
            'M' => Find(owner[..dot])?.GetMethods().Any(method => Signature(method) == name[(dot + 1)..]) == true,
            _ => false,
        };
    }

    private static Type? Find(string name) =>
        new[] { typeof(object), typeof(Console), typeof(Process), typeof(Socket), typeof(HttpClient), typeof(System.Timers.Timer) }
            .Select(known => known.Assembly.GetType(name))
            .FirstOrDefault(found => found is not null);

    private static string Signature(MethodInfo method)
    {
        string parameters = string.Join(',', method.GetParameters().Select(parameter => DocumentationName(parameter.ParameterType)));
        return parameters.Length == 0 ? method.Name : $"{method.Name}({parameters})";
    }

    /// <summary>A type as documentation identifiers write it.</summary>
    private static string DocumentationName(Type type) => type.IsGenericType
        ? $"{type.Namespace}.{type.Name.Split('`')[0]}{{{string.Join(',', type.GetGenericArguments().Select(DocumentationName))}}}"
        : type.FullName ?? type.Name;
}
