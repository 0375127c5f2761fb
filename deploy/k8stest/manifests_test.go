// Package k8stest holds the manifests against the API's own types. It is a
// module of its own, so that the service does not depend on them.
package k8stest

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	monitoringv1 "github.com/prometheus-operator/prometheus-operator/pkg/apis/monitoring/v1"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	appsv1 "k8s.io/api/apps/v1"
	autoscalingv2 "k8s.io/api/autoscaling/v2"
	corev1 "k8s.io/api/core/v1"
	networkingv1 "k8s.io/api/networking/v1"
	policyv1 "k8s.io/api/policy/v1"
	"sigs.k8s.io/yaml"
)

type manifests struct {
	deployment *appsv1.Deployment
	service    *corev1.Service
	autoscaler *autoscalingv2.HorizontalPodAutoscaler
	disruption *policyv1.PodDisruptionBudget
	network    *networkingv1.NetworkPolicy
	ingress    *networkingv1.Ingress
	monitor    *monitoringv1.PodMonitor
}

// read decodes documents strictly: an unknown or doubled field fails.
func read(t *testing.T, text string) (m manifests) {
	t.Helper()
	for document := range strings.SplitSeq(text, "\n---\n") {
		var head struct{ Kind string }
		require.NoError(t, yaml.Unmarshal([]byte(document), &head))
		strict := func(into any) { require.NoError(t, yaml.UnmarshalStrict([]byte(document), into), head.Kind) }
		switch head.Kind {
		case "Deployment":
			m.deployment = new(appsv1.Deployment)
			strict(m.deployment)
		case "Service":
			m.service = new(corev1.Service)
			strict(m.service)
		case "HorizontalPodAutoscaler":
			m.autoscaler = new(autoscalingv2.HorizontalPodAutoscaler)
			strict(m.autoscaler)
		case "PodDisruptionBudget":
			m.disruption = new(policyv1.PodDisruptionBudget)
			strict(m.disruption)
		case "NetworkPolicy":
			m.network = new(networkingv1.NetworkPolicy)
			strict(m.network)
		case "Ingress":
			m.ingress = new(networkingv1.Ingress)
			strict(m.ingress)
		case "PodMonitor":
			m.monitor = new(monitoringv1.PodMonitor)
			strict(m.monitor)
		default:
			t.Fatalf("no test knows the kind %q", head.Kind)
		}
	}
	return m
}

func TestSourcesAreStrict(t *testing.T) {
	files, err := filepath.Glob("../kubernetes/base/*.yaml")
	require.NoError(t, err)
	require.Len(t, files, 6)
	for _, file := range files {
		if filepath.Base(file) == "kustomization.yaml" {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		read(t, string(text))
	}
}

func TestRendered(t *testing.T) {
	kubectl, err := exec.LookPath("kubectl")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("kubectl is missing")
		}
		t.Skip("kubectl is missing")
	}
	for _, place := range []string{"base", "overlays/workshop"} {
		text, err := exec.CommandContext(t.Context(), kubectl, "kustomize", "../kubernetes/"+place).Output()
		require.NoError(t, err)
		m := read(t, string(text))
		t.Run(place, func(t *testing.T) {
			checkPod(t, m)
			checkTogether(t, m)
			if place != "base" {
				checkEntrance(t, m)
			}
		})
	}
}

func checkPod(t *testing.T, m manifests) {
	require.NotNil(t, m.deployment)
	pod := m.deployment.Spec.Template.Spec
	require.Len(t, pod.Containers, 1)
	c := pod.Containers[0]
	assert.True(t, *pod.SecurityContext.RunAsNonRoot)
	assert.Positive(t, *pod.SecurityContext.RunAsUser)
	assert.Equal(t, corev1.SeccompProfileTypeRuntimeDefault, pod.SecurityContext.SeccompProfile.Type)
	assert.False(t, *pod.AutomountServiceAccountToken)
	assert.True(t, *c.SecurityContext.ReadOnlyRootFilesystem)
	assert.False(t, *c.SecurityContext.AllowPrivilegeEscalation)
	assert.Equal(t, []corev1.Capability{"ALL"}, c.SecurityContext.Capabilities.Drop)
	assert.Empty(t, c.SecurityContext.Capabilities.Add)
	assert.Empty(t, pod.Volumes, "nothing is stored")
	var spread []string
	for _, s := range pod.TopologySpreadConstraints {
		spread = append(spread, s.TopologyKey)
	}
	assert.Equal(t, []string{"topology.kubernetes.io/zone", "kubernetes.io/hostname"}, spread)
	assert.False(t, c.Resources.Requests.Cpu().IsZero())
	assert.False(t, c.Resources.Limits.Memory().IsZero())
	for name, probe := range map[string]*corev1.Probe{"/readyz": c.ReadinessProbe, "/healthz": c.LivenessProbe} {
		assert.Equal(t, name, probe.HTTPGet.Path)
		assert.Equal(t, "operators", probe.HTTPGet.Port.String())
	}
	assert.NotNil(t, c.StartupProbe)
}

// Where clients and Prometheus come in.
func checkEntrance(t *testing.T, m manifests) {
	require.NotNil(t, m.ingress)
	require.Len(t, m.ingress.Spec.TLS, 1)
	require.Len(t, m.ingress.Spec.Rules, 1)
	assert.Equal(t, []string{m.ingress.Spec.Rules[0].Host}, m.ingress.Spec.TLS[0].Hosts)
	backend := m.ingress.Spec.Rules[0].HTTP.Paths[0].Backend.Service
	assert.Equal(t, m.service.Name, backend.Name)
	assert.Equal(t, m.service.Spec.Ports[0].Name, backend.Port.Name)
	require.NotNil(t, m.monitor)
	assert.Subset(t, m.deployment.Spec.Template.Labels, m.monitor.Spec.Selector.MatchLabels)
	require.Len(t, m.monitor.Spec.PodMetricsEndpoints, 1)
	assert.Equal(t, "operators", *m.monitor.Spec.PodMetricsEndpoints[0].Port)
}

// What one manifest names, another must have.
func checkTogether(t *testing.T, m manifests) {
	labels := m.deployment.Spec.Template.Labels
	require.NotEmpty(t, labels)
	for name, selector := range map[string]map[string]string{
		"deployment": m.deployment.Spec.Selector.MatchLabels, "service": m.service.Spec.Selector,
		"disruption": m.disruption.Spec.Selector.MatchLabels, "network": m.network.Spec.PodSelector.MatchLabels,
		"spread": m.deployment.Spec.Template.Spec.TopologySpreadConstraints[0].LabelSelector.MatchLabels,
	} {
		require.NotEmpty(t, selector, name)
		assert.Subset(t, labels, selector, name)
	}
	assert.Equal(t, m.deployment.Name, m.autoscaler.Spec.ScaleTargetRef.Name)
	assert.Greater(t, *m.autoscaler.Spec.MinReplicas, m.disruption.Spec.MaxUnavailable.IntVal)
	assert.Nil(t, m.deployment.Spec.Replicas, "they are the autoscaler's")
	require.Len(t, m.service.Spec.Ports, 1, "operators' port is not in the service")
	assert.Equal(t, "http", m.service.Spec.Ports[0].TargetPort.String())
	assert.Equal(t, "8081", m.deployment.Spec.Template.Annotations["prometheus.io/port"])
	assert.Empty(t, m.network.Spec.Egress)
}
